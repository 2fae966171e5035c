-- One row per sale line and parcel in which it went, as the sale itself says.
-- A line that names none went in the only parcel that its sale names, unless it was cancelled.
with only_parcels as (
    select
        s.sale_id,
        min(s.parcel_id) as parcel_id
    from accepted.sales as s
    where s.parcel_id is not null
    group by s.sale_id
    having min(s.parcel_id) = max(s.parcel_id)
)

select
    coalesce(s.parcel_id, o.parcel_id) as parcel_id,
    s.sale_id, s.line_number
from accepted.sales as s
left join only_parcels as o on o.sale_id = s.sale_id and coalesce(s.sale_state, 'sold') <> 'cancelled'
where coalesce(s.parcel_id, o.parcel_id) is not null
