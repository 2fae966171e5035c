-- One row per cause that raised a parcel's bill: what it came to, what speaks for it, and its last day for a dispute.
-- Corrections downwards and credits of the same parcel are set against its causes: first those of the very same amount,
-- then the largest.
with causes as (
    select
        d.parcel_id, d.difference_class,
        case when d.difference_class in ('duplicate line', 'adjustment without cause', 'fixed fee', 'other amount')
            or d.charge_kind = 'adjustment' then '/' || d.invoice_number || '-' || cast(d.line_number as varchar)
        else '' end as one_line,
        d.carrier,
        {max d.shipped_on, d.shipped_month, d.item_type, d.service, d.carton_code},
        {min d.invoiced_on, d.invoice_number, d.line_number, d.corrected_invoice_number, d.corrected_line_number},
        min(
            case
                when d.charge_kind <> 'fuel' or d.difference_class in ('fuel base', 'duplicate line') then d.charge_name
            end
        ) as charge_name,
        cast(sum(d.difference_cents) as bigint) as over_cents
    from marts.billing_differences as d
    where d.difference_class not in ('not rated', 'not checked', 'option or event', 'learned price', 'learned zone')
    group by
        d.parcel_id, d.difference_class,
        case when d.difference_class in ('duplicate line', 'adjustment without cause', 'fixed fee', 'other amount')
            or d.charge_kind = 'adjustment' then '/' || d.invoice_number || '-' || cast(d.line_number as varchar)
        else '' end,
        d.carrier
),

given_back as (
    select
        coalesce(s.lead_parcel_id, c.parcel_id) as parcel_id,
        -cast(sum(c.amount_cents) as bigint) as back_cents,
        max(-c.amount_cents) as largest_cents
    from core.charge_lines as c
    left join core.shipment_parcels as s on s.parcel_id = c.parcel_id
    where not c.is_account and c.amount_cents < 0 and c.charge_kind in ('adjustment', 'credit')
    group by coalesce(s.lead_parcel_id, c.parcel_id)
),

ranked as (
    select
        c.*,
        coalesce(g.back_cents, 0) as back_cents,
        cast(
            sum(c.over_cents) over (
                partition by coalesce(s.lead_parcel_id, c.parcel_id)
                order by
                    case when c.over_cents = g.largest_cents then 0 else 1 end, c.over_cents desc, c.difference_class,
                    c.one_line, c.parcel_id
            ) as bigint
        ) as running_cents
    from causes as c
    left join core.shipment_parcels as s on s.parcel_id = c.parcel_id
    left join given_back as g on g.parcel_id = coalesce(s.lead_parcel_id, c.parcel_id)
    where c.over_cents > 0
),

dated as (
    select
        c.*,
        greatest(least(c.over_cents, c.back_cents - (c.running_cents - c.over_cents)), 0) as credited_cents,
        c.parcel_id || '/' || replace(c.difference_class, ' ', '-') || c.one_line as dispute_id,
        t.tariff_code, t.tariff_key,
        cast(
            case
                when t.dispute_from <> 'shipped_on' then c.invoiced_on
                when p.dated_by in ('shipping', 'label') then c.shipped_on
            end
            + cast(t.dispute_days as integer) as date
        ) as last_dispute_on
    from ranked as c
    left join core.parcels as p on p.parcel_id = c.parcel_id
    left join core.tariff_days as y
        on y.carrier = c.carrier and y.service = coalesce(c.service, '') and y.shipped_on = c.shipped_on
    left join shop.tariffs as t on t.tariff_key = y.tariff_key
),

sides as (
    select
        d.dispute_id,
        r.sides_source,
        {length r.length_in as o} || ' x ' || {length r.width_in as o} || ' x ' || {length r.height_in as o} || ' '
        || o.shown_length_unit || ' ' || case r.sides_source
            when 'measured' then 'measured'
            when 'learned' then 'usually billed for the carton'
            else 'by the carton''s name'
        end as own_sides,
        coalesce({weight r.scale_weight_lb as o} || ' ' || o.shown_weight_unit || ' on the scale', 'weight unknown') as own_weight,
        {length coalesce(a.billed_length_in, b.billed_length_in) as o} || ' x '
        || {length coalesce(a.billed_width_in, b.billed_width_in) as o} || ' x '
        || {length coalesce(a.billed_height_in, b.billed_height_in) as o} || ' ' || o.shown_length_unit as billed_sides,
        {weight coalesce(a.billed_weight_lb, b.billed_weight_lb) as o} || ' ' || o.shown_weight_unit as billed_weight,
        r.service as own_service,
        r.zone as own_zone,
        b.service as billed_service,
        b.zone as billed_zone,
        coalesce(r.is_residential, false) as is_residential,
        r.destination_prefix,
        a.due_cents
    from dated as d
    cross join shop.settings as o
    inner join core.billed_parcels as b on b.parcel_id = d.parcel_id
    left join rating.requests as r on r.request_id = d.parcel_id
    left join core.billed_adjustments as a
        on a.carrier = d.carrier and a.invoice_number = d.invoice_number and a.line_number = d.line_number
),

fuels as (
    select
        l.parcel_id,
        bool_or(l.is_fuel_of_base) as is_fuel_of_base,
        bool_or(l.is_fuel_of_surcharge) as is_fuel_of_surcharge
    from core.unexplained_charges as l
    where l.difference_class = 'fuel base'
    group by l.parcel_id
),

rules as (
    select
        t.tariff_key, t.surcharge,
        bool_and(t.is_residential_only) as is_residential_only,
        bool_and(t.area is not null) as is_area_only
    from shop.tariff_surcharges as t
    group by t.tariff_key, t.surcharge
)

select
    d.dispute_id, d.parcel_id, d.difference_class, d.carrier, d.service, d.item_type, d.carton_code, d.shipped_on,
    d.shipped_month, d.invoice_number, d.line_number, d.invoiced_on, d.corrected_invoice_number,
    d.corrected_line_number, d.charge_name, d.over_cents, d.credited_cents,
    case d.difference_class
        when 'wrong service' then 'sent as ' || s.own_service
        when 'wrong zone' then 'zone ' || s.own_zone
        when 'sides re-measured' then s.own_sides
        when 'weight re-measured' then s.own_weight
        when 'duplicate line'
            then 'first billed as line ' || cast(d.corrected_line_number as varchar) || ' of '
            || d.corrected_invoice_number
        when 'surcharge not justified' then case
            when r.is_residential_only and not s.is_residential then 'not delivered to a home'
            when r.is_area_only then 'postal prefix ' || coalesce(s.destination_prefix, 'unknown')
            else s.own_sides || ', ' || s.own_weight
        end
        when 'fuel base' then 'the tariff takes fuel on ' || case
            when l.is_fuel_of_base and l.is_fuel_of_surcharge then 'carriage and surcharges'
            when l.is_fuel_of_base then 'carriage alone'
            when l.is_fuel_of_surcharge then 'surcharges alone'
            else 'nothing'
        end
        when 'tax' then 'the tax that ' || d.tariff_code || ' states, on all that was billed'
        when 'fixed fee' then 'no rule of the tariff'
        when 'other amount' then 'the amount that ' || d.tariff_code || ' states for it'
        when 'shipment'
            then cast(h.parcel_count as varchar) || ' parcels of shipment ' || h.shipment_id || ', together by '
            || d.tariff_code
        when 'adjustment without cause' then 'sides, weight and zone as first billed'
        else 'the tariff ' || d.tariff_code
    end as own_evidence,
    case d.difference_class
        when 'wrong service' then 'billed as ' || s.billed_service
        when 'wrong zone' then 'billed as zone ' || s.billed_zone
        when 'sides re-measured'
            then 'billed as ' || s.billed_sides || case
                when s.due_cents is null then ''
                when abs(s.due_cents - d.over_cents) <= 1 then ', which the tariff prices so'
                else ', which the tariff prices otherwise'
            end
        when 'weight re-measured' then 'billed as ' || s.billed_weight
        when 'duplicate line' then 'billed again as line ' || cast(d.line_number as varchar)
        when 'surcharge not justified' then 'no condition of the tariff holds for it'
        when 'fuel base' then 'billed fuel fits another base'
        when 'fixed fee' then 'the code always comes to the same amount'
        when 'adjustment without cause' then 'the line states neither sides nor weight'
        else 'billed otherwise'
    end as billed_evidence,
    d.last_dispute_on
from dated as d
left join sides as s on s.dispute_id = d.dispute_id
left join rules as r on r.tariff_key = d.tariff_key and r.surcharge = d.charge_name
left join fuels as l on l.parcel_id = d.parcel_id
left join core.shipments as h on h.parcel_id = d.parcel_id
