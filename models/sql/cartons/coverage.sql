-- One row per month of shipping: parcels whose carton is judged, and those left out.
with counted as (
    select
        p.shipped_month,
        p.packed_contents_key is not null and p.conditions_key is not null as is_considered,
        g.goods is null as is_bounded
    from cartons.recent as p
    left join core.packed_contents as g on g.packed_contents_key = p.packed_contents_key
)

select
    t.shipped_month,
    count(*) as parcel_count,
    count(case when t.is_considered then 1 end) as considered_parcel_count,
    count(case when t.is_considered and t.is_bounded then 1 end) as bounded_parcel_count,
    count(case when not t.is_considered then 1 end) as left_out_parcel_count
from counted as t
group by t.shipped_month
order by t.shipped_month
