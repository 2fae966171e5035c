-- One row per shipment for which one price holds by the weight of all its parcels: that weight in the tariff's unit, its
-- price and its discount, null where the weight is beyond the prices. The weight is the sum of the rated weights; or of
-- what is greater in each parcel, scale or dimensional weight; or the greater of both sums.
with weighed as (
    select
        h.parcel_id, h.lane_key,
        t.weight_added,
        {milli r.scale_weight_lb * l.weight_per_lb} as scale_milli,
        z.dim_weight_milli,
        k.rated_weight_milli,
        v.minimum_weight_milli, v.weight_step_milli
    from core.shipments as h
    inner join shop.tariff_shipments as t
        on t.service_key = h.service_key and t.parcels_at_least <= h.parcel_count and t.parcels_at_most >= h.parcel_count
    inner join shop.tariff_services as v on v.service_key = h.service_key
    inner join core.shipment_parcels as s on s.carrier = h.carrier and s.shipment_id = h.shipment_id
    inner join rating.requests as r on r.request_id = s.parcel_id
    inner join rating.request_keys as k on k.request_id = s.parcel_id
    inner join rating.lanes as l on l.lane_key = k.lane_key
    inner join rating.measures as z on z.size_key = k.size_key
    where t.is_of_total and h.shipment_lacking is null
),

added as (
    select
        w.parcel_id, w.lane_key, w.weight_step_milli,
        greatest(
            case w.weight_added
                when 'rounded' then sum(w.rated_weight_milli)
                when 'greater' then sum(greatest(w.scale_milli, w.dim_weight_milli))
                else greatest(sum(w.scale_milli), sum(w.dim_weight_milli))
            end,
            w.minimum_weight_milli
        ) as heaviest_milli
    from weighed as w
    group by w.parcel_id, w.lane_key, w.weight_added, w.minimum_weight_milli, w.weight_step_milli
),

rounded as (
    select
        a.parcel_id, a.lane_key,
        cast(ceil(a.heaviest_milli / a.weight_step_milli) as bigint) * a.weight_step_milli as billed_weight_milli
    from added as a
)

select
    r.parcel_id, r.billed_weight_milli,
    p.price_cents,
    -coalesce(
        least({amount p.price_cents * d.share_millionths by d.}, greatest(p.price_cents - d.minimum_charge_cents, 0)),
        case when p.price_cents is not null then 0 end
    ) as discount_cents
from rounded as r
inner join rating.lanes as l on l.lane_key = r.lane_key
left join shop.tariff_prices as p
    on p.service_key = l.service_key
    and p.zone = l.priced_zone
    and p.price_size = ''
    and p.weight_milli = r.billed_weight_milli
left join shop.tariff_discounts as d
    on d.service_key = l.service_key
    and d.zone = l.priced_zone
    and d.target_kind = 'base'
    and {counts d on l.shipped_on}
    and (d.above_milli < r.billed_weight_milli or d.above_milli = 0)
    and d.up_to_milli >= r.billed_weight_milli
