-- One row per later correction upwards: what it says it corrects, and what the tariff would take by it.
-- A code that the tariff states as an option or event is one, billed late. A correction of a shipment of several parcels is
-- not checked: which of them it means is not known.
with extras as (
    select
        a.carrier, a.invoice_number, a.line_number,
        e.fixed_cents,
        row_number() over (
            partition by a.carrier, a.invoice_number, a.line_number
            order by case when e.fixed_cents is null then 0 else abs(e.fixed_cents - a.amount_cents) end, e.extra_key
        ) as place
    from core.upward_adjustments as a
    inner join rating.priced as p on p.request_id = a.parcel_id
    inner join rating.lanes as l on l.lane_key = p.lane_key
    inner join shop.tariff_extras as e
        on e.service_key = l.service_key
        and e.zone = l.priced_zone
        and e.charge_code = a.charge_code
        and {counts e on l.shipped_on}
)

select
    a.carrier, a.invoice_number, a.line_number, a.invoiced_on, a.parcel_id, a.charge_code, a.amount_cents,
    a.billed_weight_lb, a.billed_length_in, a.billed_width_in, a.billed_height_in,
    b.invoice_number as corrected_invoice_number,
    b.line_number as corrected_line_number,
    case
        when e.place is not null then e.fixed_cents
        else m.base_cents + m.surcharge_cents + m.fuel_cents - b.base_cents - b.surcharge_cents - b.fuel_cents
    end as due_cents,
    case
        when e.place is not null and e.fixed_cents is null then 'not checked'
        when e.place is not null then 'option or event'
        when s.parcel_id is not null then 'not checked'
        when
            a.billed_length_in is not null
            and (
                d.longest_side <> o.longest_side or d.second_side <> o.second_side or d.shortest_side <> o.shortest_side
            ) then 'sides re-measured'
        when a.billed_length_in is null and a.billed_weight_lb is not null then 'weight re-measured'
        when f.is_fixed_fee then 'fixed fee'
        else 'adjustment without cause'
    end as difference_class
from core.upward_adjustments as a
left join extras as e
    on e.carrier = a.carrier and e.invoice_number = a.invoice_number and e.line_number = a.line_number and e.place = 1
left join core.billed_parcels as b on b.parcel_id = a.parcel_id
left join rating.rated as o on o.request_id = a.parcel_id
left join rechecked.priced as m
    on m.request_id = a.parcel_id || '/' || a.invoice_number || '-' || cast(a.line_number as varchar)
left join rechecked.rated as d on d.request_id = m.request_id
left join core.shipment_parcels as s on s.parcel_id = a.parcel_id
left join core.correction_codes as f
    on f.carrier = a.carrier and f.charge_code = a.charge_code and f.amount_cents = a.amount_cents
