-- One row per tariff, service and length from which a parcel is charged for its longest side, in inches.
-- A carrier rounds before it compares, so it charges from a length that no list prints: 48.5 in where it rounds to the
-- nearest inch and charges above 48.
with stated as (
    select distinct a.service_key, a.threshold_milli
    from shop.tariff_alternatives as a
    where a.measure = 'longest_side'
)

select distinct
    s.tariff_key, s.service,
    cast(
        c.threshold_milli + case when c.is_inclusive then 0 else s.side_step_milli end - s.side_bias_milli as double
    ) / (1000 * t.length_per_in) as limit_in
from shop.tariff_conditions as c
inner join stated as a on a.service_key = c.service_key and a.threshold_milli = c.threshold_milli
inner join shop.tariff_services as s on s.service_key = c.service_key
inner join shop.tariffs as t on t.tariff_key = s.tariff_key
where c.measure = 'longest_side'
