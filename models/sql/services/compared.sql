-- One row per parcel of the months judged and other service of a tariff of its day: what both tariffs expect, or what keeps them
-- from being compared; one row without another service where that is the same for all. A learned price may be off by its
-- 95 % interval: those of both add up.
with found as (
    select
        w.parcel_id,
        w.other_carrier,
        w.other_service,
        w.other_zone,
        w.other_promised_days,
        q.expected_cents as other_cents,
        case
            when w.not_compared is not null then w.not_compared
            when q.expected_cents is null then q.lacking
            when o.request_id is not null and o.within_cents is null then 'learned price without an interval'
            when n.request_id is not null and n.within_cents is null then 'learned price without an interval'
        end as not_compared,
        coalesce(o.within_cents * (1 + o.fuel_share), 0) + coalesce(n.within_cents, 0) as within_cents
    from services.ways as w
    left join service_rating.priced as q on q.request_id = w.request_id
    left join services.learned_own as o on o.request_id = w.parcel_id
    left join services.learned_others as n on n.request_id = w.request_id and n.is_learned
)

select
    p.parcel_id,
    p.zone,
    f.other_carrier,
    f.other_service,
    f.other_zone,
    p.promised_days,
    f.other_promised_days,
    p.expected_cents,
    case when f.not_compared is null then f.other_cents end as other_cents,
    case when f.not_compared is null then cast(ceil(f.within_cents) as bigint) end as learned_within_cents,
    coalesce(p.not_compared, f.not_compared) as not_compared
from services.parcels as p
left join found as f on f.parcel_id = p.parcel_id
