-- One row per step of a check: parcels billed otherwise than expected, rated again step by step with what the carrier
-- took: /0 the shop's own facts, /1 also the billed service and zone, /2 also the billed sides, /3 also the billed
-- weight as scale weight; and each adjustment that states sides or a weight. Parcels of a shipment of several are compared
-- all together: each is put to the rating once more by the shop's own facts.
-- Sides that the bench never measured are the carrier's word, unless a side is more than 1.5 in above what is usually
-- billed for the carton: then the estimate stands.
with differing as (
    select
        b.*,
        r.request_id, r.shipped_on,
        r.service as own_service,
        r.zone as own_zone,
        {facts r},
        b.billed_length_in is null
        or r.sides_source = 'measured'
        or (
            r.sides_source = 'learned'
            and (
                b.billed_length_in > r.length_in + 1.5
                or b.billed_width_in > r.width_in + 1.5
                or b.billed_height_in > r.height_in + 1.5
            )
        ) as has_own_sides
    from core.billed_parcels as b
    inner join rating.priced as p on p.request_id = b.parcel_id
    inner join rating.requests as r on r.request_id = b.parcel_id
    left join core.shipment_parcels as s on s.parcel_id = b.parcel_id
    where p.lacking is null and s.parcel_id is null
),

wanted as (
    select d.*
    from differing as d
    inner join rating.priced as p on p.request_id = d.parcel_id
    where
        p.base_cents <> d.base_cents or p.surcharge_cents <> d.surcharge_cents or p.fuel_cents <> d.fuel_cents
        or d.unmapped_cents <> 0
),

facts as (
    select
        w.parcel_id, w.carrier, w.shipped_on, w.own_service, w.own_zone,
        coalesce(w.service, w.own_service) as billed_service,
        coalesce(w.zone, w.own_zone) as billed_zone,
        case when w.has_own_sides then w.length_in else w.billed_length_in end as own_length_in,
        case when w.has_own_sides then w.width_in else w.billed_width_in end as own_width_in,
        case when w.has_own_sides then w.height_in else w.billed_height_in end as own_height_in,
        coalesce(w.billed_length_in, w.length_in) as billed_length_in,
        coalesce(w.billed_width_in, w.width_in) as billed_width_in,
        coalesce(w.billed_height_in, w.height_in) as billed_height_in,
        w.is_rectangular, w.scale_weight_lb,
        coalesce(w.billed_weight_lb, w.scale_weight_lb) as billed_weight_lb,
        w.is_residential, w.destination_prefix, w.declared_value_cents
    from wanted as w
),

adjusted as (
    select
        a.parcel_id || '/' || a.invoice_number || '-' || cast(a.line_number as varchar) as request_id,
        d.carrier,
        coalesce(d.service, d.own_service) as service,
        coalesce(d.zone, d.own_zone) as zone,
        d.shipped_on,
        coalesce(a.billed_length_in, d.length_in) as length_in,
        coalesce(a.billed_width_in, d.width_in) as width_in,
        coalesce(a.billed_height_in, d.height_in) as height_in,
        d.is_rectangular,
        case when a.billed_length_in is null then a.billed_weight_lb else d.scale_weight_lb end as scale_weight_lb,
        d.is_residential, d.destination_prefix, d.declared_value_cents
    from core.upward_adjustments as a
    inner join differing as d on d.parcel_id = a.parcel_id
    where a.billed_length_in is not null or a.billed_weight_lb is not null
),

steps as (
    {values step in 0, 1, 2, 3}
),

stepped as (
    select
        f.parcel_id || '/' || cast(n.step as varchar) as request_id,
        f.carrier,
        case when n.step >= 1 then f.billed_service else f.own_service end as service,
        case when n.step >= 1 then f.billed_zone else f.own_zone end as zone,
        f.shipped_on,
        case when n.step >= 2 then f.billed_length_in else f.own_length_in end as length_in,
        case when n.step >= 2 then f.billed_width_in else f.own_width_in end as width_in,
        case when n.step >= 2 then f.billed_height_in else f.own_height_in end as height_in,
        f.is_rectangular,
        case when n.step >= 3 then f.billed_weight_lb else f.scale_weight_lb end as scale_weight_lb,
        f.is_residential, f.destination_prefix, f.declared_value_cents
    from facts as f
    cross join steps as n
    union all
    select a.*
    from adjusted as a
    union all
    select
        s.parcel_id || '/parcel' as request_id,
        r.carrier, r.service, r.zone, r.shipped_on,
        {facts r}
    from core.shipment_parcels as s
    inner join rating.requests as r on r.request_id = s.parcel_id
    cross join (select count(*) as rule_count from shop.tariff_shipments as t) as u
    where s.is_charged and u.rule_count > 0
)

select
    s.*,
    'asked' as sides_source
from stepped as s
