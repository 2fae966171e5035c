-- One row per parcel that may be compared and other service of a tariff of its day: what that tariff expects, or what keeps
-- them from being compared. A learned price may be off by its 95 % interval: those of both add up, and what is saved
-- within them counts as nothing.
with found as (
    select
        q.request_id,
        q.expected_cents as other_cents,
        coalesce(
            q.lacking, case when n.within_cents is null and n.is_learned then 'learned price without an interval' end
        ) as not_compared,
        coalesce(n.within_cents, 0) as within_cents
    from service_rating.priced as q
    left join services.learned_others as n on n.request_id = q.request_id and n.is_learned
    union all
    select
        w.request_id,
        cast(null as bigint) as other_cents,
        w.not_compared,
        cast(null as double) as within_cents
    from services.ways as w
    where w.not_compared is not null
),

numbered as (
    select
        f.*,
        f.request_id >> 20 as parcel_number,
        f.request_id & 1048575 as other_service_key
    from found as f
),

own as (
    select
        p.parcel_number, p.expected_cents,
        coalesce(o.within_cents * (1 + o.fuel_share), 0) as within_cents,
        o.request_id is not null and o.within_cents is null as is_open
    from services.parcels as p
    left join services.learned_own as o on o.request_id = p.parcel_id
),

judged as (
    select
        f.parcel_number, f.other_service_key, f.other_cents,
        p.expected_cents - f.other_cents as saved_cents,
        cast(ceil(p.within_cents + f.within_cents) as bigint) as learned_within_cents,
        coalesce(f.not_compared, case when p.is_open then 'learned price without an interval' end) as not_compared
    from numbered as f
    inner join own as p on p.parcel_number = f.parcel_number
)

select
    j.parcel_number, j.other_service_key,
    case when j.not_compared is null then j.other_cents end as other_cents,
    case when j.not_compared is null then j.learned_within_cents end as learned_within_cents,
    case
        when j.not_compared is not null then null
        when j.saved_cents > j.learned_within_cents then j.saved_cents
        else 0
    end as saving_cents,
    j.not_compared
from judged as j
