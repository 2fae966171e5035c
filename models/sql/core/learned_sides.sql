-- One row per tariff, service, carton and cut height: the sides that the carrier billed for it, each at its median.
-- By tariff and service, since these decide how a carrier rounds what it measured.
with {medians core.billed_side_counts of billed_in by tariff_key, service, carton_code, cut_height_in, side}

select
    m.tariff_key, m.service, m.carton_code, m.cut_height_in,
    max(m.parcel_count) as parcel_count,
    max(case when m.side = 'longest side' then m.billed_in end) as learned_length_in,
    max(case when m.side = 'second side' then m.billed_in end) as learned_width_in,
    max(case when m.side = 'shortest side' then m.billed_in end) as learned_height_in
from medians as m
group by m.tariff_key, m.service, m.carton_code, m.cut_height_in
