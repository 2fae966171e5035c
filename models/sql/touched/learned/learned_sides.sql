-- One row per parcel that was never measured and whose carton now teaches other sides.
with differing as (
    select l.tariff_key, l.service, l.carton_code, l.cut_height_in
    from (select n.* from core.learned_sides as n union all select b.* from history.core.learned_sides as b) as l
    where l.parcel_count >= 5
    group by
        l.tariff_key, l.service, l.carton_code, l.cut_height_in, l.learned_length_in, l.learned_width_in,
        l.learned_height_in
    having count(*) = 1
)

select p.parcel_id
from history.core.parcels as p
inner join history.core.tariff_days as y
    on y.carrier = p.carrier and y.service = coalesce(p.service, '') and y.shipped_on = p.shipped_on
inner join differing as d on d.tariff_key = y.tariff_key and {alike d, p in service, carton_code, cut_height_in?}
where p.length_in is null
