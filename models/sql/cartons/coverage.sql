-- One row per month of shipping: parcels whose carton is judged, and those left out.
select
    p.shipped_month,
    count(*) as parcel_count,
    count(c.parcel_id) as considered_parcel_count,
    count(case when c.goods_key < 0 then 1 end) as bounded_parcel_count,
    count(*) - count(c.parcel_id) as left_out_parcel_count
from cartons.recent as p
left join cartons.parcels as c on c.parcel_id = p.parcel_id
group by p.shipped_month
order by p.shipped_month
