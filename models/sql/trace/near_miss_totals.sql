-- The parcels behind marts.near_miss_totals.
select n.shipped_month, n.carrier, n.charge_name, n.change, coalesce(n.carton_code, 'unknown') as carton_code, n.item_type,
    n.parcel_id, n.spared_cents as amount_cents
from marts.surcharge_near_misses as n
where n.near_miss = 'paid' and n.is_counted
