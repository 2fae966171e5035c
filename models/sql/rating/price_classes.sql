-- One row per combination of lane class, conditions, rated and missing weight, home delivery, place and declared
-- steps that occurs.
-- A surcharge class is a price class without its weight, and decides which surcharges are charged; the conditions on the
-- rated weight are added to its bits here.
with occurring as (
    select distinct
        k.lane_class_key, k.goods_bits, k.rated_weight_milli, k.missing_weight_milli, k.is_home, k.place_key,
        k.declared_steps
    from rating.request_keys as k
    where k.lane_class_key is not null and k.rated_weight_milli is not null
),

lane_classes as (
    select distinct
        l.lane_class_key, l.tariff_key, l.service_key, l.season_key,
        l.priced_zone as zone,
        l.fuel_basis_key, l.declared_grain_cents
    from rating.lanes as l
    where l.lacking is null
),

rated as (
    select distinct
        c.service_key,
        o.rated_weight_milli
    from occurring as o
    inner join lane_classes as c on c.lane_class_key = o.lane_class_key
),

held as (
    select
        r.service_key, r.rated_weight_milli,
        cast(sum(case when r.rated_weight_milli > c.passed_milli then c.condition_bit else 0 end) as bigint) as rated_bits
    from rated as r
    left join shop.tariff_conditions as c on c.service_key = r.service_key and c.measure = 'rated_weight'
    group by r.service_key, r.rated_weight_milli
),

known as (
    select
        o.*,
        c.tariff_key, c.service_key, c.season_key, c.zone, c.fuel_basis_key,
        o.declared_steps * c.declared_grain_cents as declared_up_to_cents,
        o.goods_bits + h.rated_bits as case_bits
    from occurring as o
    inner join lane_classes as c on c.lane_class_key = o.lane_class_key
    inner join held as h on h.service_key = c.service_key and h.rated_weight_milli = o.rated_weight_milli
),

keyed as (
    select
        {key k.lane_class_key, k.case_bits, k.missing_weight_milli, k.is_home, k.place_key, k.declared_steps}
            as surcharge_class_key,
        k.*
    from known as k
)

select
    {key k.surcharge_class_key, k.rated_weight_milli} as price_class_key,
    k.*
from keyed as k
