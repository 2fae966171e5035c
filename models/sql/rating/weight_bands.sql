-- One row per service and band of scale weights: as bits the conditions on the scale weight that hold in it.
select
    b.service_key,
    b.scale_band,
    cast(
        sum(
            case
                when b.band_weight_milli > c.threshold_milli then c.condition_bit
                when c.is_inclusive and b.band_weight_milli = c.threshold_milli then c.condition_bit
                else 0
            end
        ) as bigint
    ) as scale_bits
from shop.tariff_scale_bands as b
left join shop.tariff_conditions as c on c.service_key = b.service_key and c.measure = 'scale_weight'
group by b.service_key, b.scale_band
