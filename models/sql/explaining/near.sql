-- One row per charge that a little less, or a little more, would spare or add.
select n.*
from marts.surcharge_near_misses as n
where n.parcel_id = ?
order by n.near_miss desc, n.spared_cents desc, n.charge_name
