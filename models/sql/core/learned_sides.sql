-- One row per tariff, service, carton and cut height: the sides that the carrier billed for it, each at its median.
-- By tariff and service, since these decide how a carrier rounds what it measured.
select
    d.tariff_key,
    p.service,
    p.carton_code,
    p.cut_height_in,
    count(*) as parcel_count,
    percentile_cont(0.5) within group (order by b.billed_length_in) as learned_length_in,
    percentile_cont(0.5) within group (order by b.billed_width_in) as learned_width_in,
    percentile_cont(0.5) within group (order by b.billed_height_in) as learned_height_in
from core.parcels as p
inner join core.billed_parcels as b on b.parcel_id = p.parcel_id
inner join core.tariff_days as d on d.carrier = p.carrier and d.shipped_on = p.shipped_on
where
    p.carton_code is not null and p.service is not null
    and b.billed_length_in is not null and b.billed_width_in is not null and b.billed_height_in is not null
group by d.tariff_key, p.service, p.carton_code, p.cut_height_in
