-- One row per service and rounded sides: its measures, and as bits the conditions on them that hold.
-- A measure is rounded to a thousandth of the tariff's unit before it is compared.
with distinct_sides as (
    select distinct s.size_key, s.service_key, s.longest_milli, s.second_milli, s.shortest_milli, s.is_rectangular
    from rating.rounded_sides as s
),

volumes as (
    select
        d.*,
        d.longest_milli + 2 * (d.second_milli + d.shortest_milli) as length_plus_girth_milli,
        v.divisor, v.divisor_above_milli, v.density_divisor, v.weight_step_milli,
        d.longest_milli / 1000 * (d.second_milli / 1000) * (d.shortest_milli / 1000)
        * case when d.is_rectangular then 1.0 else v.non_rectangular_factor end as volume
    from distinct_sides as d
    inner join shop.tariff_services as v on v.service_key = d.service_key
),

measured as (
    select
        v.*,
        cast({milli v.volume} as bigint) as volume_milli,
        case
            when v.divisor is not null and {milli v.volume} > v.divisor_above_milli
                then cast({milli v.volume / v.divisor} as bigint)
            else cast(0 as bigint)
        end as dim_weight_milli,
        case
            when v.density_divisor is not null then cast({milli v.volume / v.density_divisor} as bigint)
            else cast(0 as bigint)
        end as size_density_milli,
        cast(
            {milli sqrt(v.longest_milli / 1000 * v.longest_milli / 1000 + v.second_milli / 1000 * v.second_milli / 1000
            + v.shortest_milli / 1000 * v.shortest_milli / 1000)} as bigint
        ) as diagonal_milli
    from volumes as v
),

compared as (
    select
        m.size_key,
        c.condition_bit, c.passed_milli,
        case c.measure
            when 'longest_side' then m.longest_milli
            when 'second_side' then m.second_milli
            when 'shortest_side' then m.shortest_milli
            when 'length_plus_girth' then m.length_plus_girth_milli
            when 'sum_of_sides' then m.longest_milli + m.second_milli + m.shortest_milli
            when 'longest_plus_shortest' then m.longest_milli + m.shortest_milli
            when 'diagonal' then m.diagonal_milli
            when 'not_rectangular' then case when m.is_rectangular then 0 else 1000 end
            when 'volume' then m.volume_milli
            when 'dim_weight' then m.dim_weight_milli
        end as measured_milli
    from measured as m
    inner join shop.tariff_conditions as c on c.service_key = m.service_key
),

held as (
    select
        c.size_key,
        cast(sum(c.condition_bit) as bigint) as size_bits
    from compared as c
    where c.measured_milli > c.passed_milli
    group by c.size_key
)

select
    m.size_key, m.service_key, m.longest_milli, m.second_milli, m.shortest_milli, m.length_plus_girth_milli,
    m.is_rectangular, m.volume_milli, m.dim_weight_milli,
    cast(ceil(m.dim_weight_milli / m.weight_step_milli) as bigint) * m.weight_step_milli as size_rated_milli,
    m.size_density_milli,
    coalesce(h.size_bits, 0) as size_bits
from measured as m
left join held as h on h.size_key = m.size_key
