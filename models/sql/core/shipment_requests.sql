-- One row per request that the check of shipments puts to the rating: each parcel by the shop's own facts (/parcel), and
-- where one price holds for the weight of all, a parcel that has this weight and next to no sides (/shipment).
-- The weight is the sum of the rated weights; or of what is greater in each parcel, scale or dimensional weight; or the
-- greater of both sums.
with checked as (
    select
        s.parcel_id,
        h.parcel_id as lead_parcel_id,
        h.service_key,
        h.parcel_count
    from core.shipments as h
    inner join core.shipment_parcels as s on s.carrier = h.carrier and s.shipment_id = h.shipment_id
    where h.shipment_lacking is null
),

weighed as (
    select
        c.lead_parcel_id,
        t.weight_added,
        l.weight_per_lb,
        {milli r.scale_weight_lb * l.weight_per_lb} as scale_milli,
        z.dim_weight_milli,
        k.rated_weight_milli
    from checked as c
    inner join shop.tariff_shipments as t
        on t.service_key = c.service_key and t.parcels_at_least <= c.parcel_count and t.parcels_at_most >= c.parcel_count
    inner join rating.requests as r on r.request_id = c.parcel_id
    inner join rating.request_keys as k on k.request_id = c.parcel_id
    inner join rating.lanes as l on l.lane_key = k.lane_key
    inner join rating.measures as z on z.size_key = k.size_key
    where t.is_of_total
),

totals as (
    select
        w.lead_parcel_id,
        case w.weight_added
            when 'rounded' then sum(w.rated_weight_milli)
            when 'greater' then sum(greatest(w.scale_milli, w.dim_weight_milli))
            else greatest(sum(w.scale_milli), sum(w.dim_weight_milli))
        end / 1000.0 / min(w.weight_per_lb) as total_lb
    from weighed as w
    group by w.lead_parcel_id, w.weight_added
)

select
    c.parcel_id || '/parcel' as request_id,
    r.carrier,
    r.service,
    r.zone,
    r.shipped_on,
    r.length_in,
    r.width_in,
    r.height_in,
    r.is_rectangular,
    r.scale_weight_lb,
    r.is_residential,
    r.destination_prefix,
    r.declared_value_cents
from checked as c
inner join rating.requests as r on r.request_id = c.parcel_id
union all
select
    t.lead_parcel_id || '/shipment' as request_id,
    r.carrier,
    r.service,
    r.zone,
    r.shipped_on,
    0.001 as length_in,
    0.001 as width_in,
    0.001 as height_in,
    true as is_rectangular,
    t.total_lb as scale_weight_lb,
    r.is_residential,
    r.destination_prefix,
    cast(null as bigint) as declared_value_cents
from totals as t
inner join rating.requests as r on r.request_id = t.lead_parcel_id
