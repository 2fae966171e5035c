-- One row per service and band of scale weights: as bits the conditions on the scale weight that hold in it, and the
-- weight that it is rated by where volume does not weigh more.
select
    b.service_key, b.scale_band, b.weight_step_number, b.first_milli, b.last_milli,
    cast(sum(case when b.first_milli > c.passed_milli then c.condition_bit else 0 end) as bigint) as scale_bits,
    cast(ceil(greatest(b.first_milli, s.minimum_weight_milli) / s.weight_step_milli) as bigint)
    * s.weight_step_milli as scale_rated_milli
from shop.tariff_scale_bands as b
inner join shop.tariff_services as s on s.service_key = b.service_key
left join shop.tariff_conditions as c on c.service_key = b.service_key and c.measure = 'scale_weight'
group by
    b.service_key, b.scale_band, b.weight_step_number, b.first_milli, b.last_milli, s.minimum_weight_milli, s.weight_step_milli
