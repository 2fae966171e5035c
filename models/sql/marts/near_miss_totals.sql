-- One row per month of shipping, carrier, charge within reach, change, carton and item type, over the parcels that paid.
-- A parcel counts once, under the charge with the greatest saving, so that the savings add up.
select
    n.shipped_month, n.carrier, n.charge_name, n.change,
    coalesce(n.carton_code, 'unknown') as carton_code,
    n.item_type,
    count(*) as parcel_count,
    percentile_cont(0.5) within group (order by n.change_in) as change_in,
    percentile_cont(0.5) within group (order by n.change_lb) as change_lb,
    cast(sum(n.spared_cents) as bigint) as spared_cents,
    count(case when n.can_cut then 1 end) as cut_count,
    max(n.other_carton_code) as other_carton_code
from marts.surcharge_near_misses as n
where n.near_miss = 'paid' and n.is_counted
group by n.shipped_month, n.carrier, n.charge_name, n.change, coalesce(n.carton_code, 'unknown'), n.item_type
