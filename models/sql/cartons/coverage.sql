-- One row per month of shipping: parcels whose carton is judged, and those left out; of those judged, how many lay in a carton of
-- stated tare, and the void fill of the cartons used where its price is stated.
with counted as (
    select
        p.shipped_month,
        p.packed_contents_key is not null and p.conditions_key is not null as is_considered,
        g.goods is null as is_bounded,
        k.used_tare_lb is not null as has_tare,
        k.void_cents
    from cartons.recent as p
    left join cartons.packed as k on k.parcel_id = p.parcel_id
    left join core.packed_contents as g on g.packed_contents_key = p.packed_contents_key
)

select
    t.shipped_month,
    count(*) as parcel_count,
    count(case when t.is_considered then 1 end) as considered_parcel_count,
    count(case when t.is_considered and t.is_bounded then 1 end) as bounded_parcel_count,
    count(case when not t.is_considered then 1 end) as left_out_parcel_count,
    count(case when t.has_tare then 1 end) as tare_parcel_count,
    case when max(f.cents_per_in3) > 0 then cast(coalesce(sum(t.void_cents), 0) as bigint) end as void_fill_cents
from counted as t
cross join cartons.fill as f
group by t.shipped_month
order by t.shipped_month
