-- One row per service and sides as given: the same sides in thousandths of the tariff's unit, rounded, longest first.
-- A side is rounded to a thousandth before anything else, so that 121.92 cm stay 48 in; the millionth of a thousandth
-- keeps halves that binary numbers fall short of.
with given as (
    select distinct
        l.service_key,
        r.length_in,
        r.width_in,
        r.height_in,
        coalesce(r.is_rectangular, true) as is_rectangular,
        l.length_per_in,
        l.side_step_milli,
        l.side_bias_milli
    from rating.requests as r
    inner join rating.lanes as l
        on l.carrier is not distinct from r.carrier
        and l.service is not distinct from r.service
        and l.zone is not distinct from r.zone
        and l.shipped_on = r.shipped_on
    where l.service_key is not null and r.length_in > 0 and r.width_in > 0 and r.height_in > 0
),

rounded as (
    select
        g.service_key,
        g.length_in,
        g.width_in,
        g.height_in,
        g.is_rectangular,
        floor(({milli g.length_in * g.length_per_in} + g.side_bias_milli) / g.side_step_milli)
        * g.side_step_milli as one_milli,
        floor(({milli g.width_in * g.length_per_in} + g.side_bias_milli) / g.side_step_milli)
        * g.side_step_milli as two_milli,
        floor(({milli g.height_in * g.length_per_in} + g.side_bias_milli) / g.side_step_milli)
        * g.side_step_milli as three_milli
    from given as g
),

sorted as (
    select
        r.service_key,
        r.length_in,
        r.width_in,
        r.height_in,
        r.is_rectangular,
        cast(greatest(r.one_milli, r.two_milli, r.three_milli) as bigint) as longest_milli,
        cast(
            r.one_milli + r.two_milli + r.three_milli - greatest(r.one_milli, r.two_milli, r.three_milli)
            - least(r.one_milli, r.two_milli, r.three_milli) as bigint
        ) as second_milli,
        cast(least(r.one_milli, r.two_milli, r.three_milli) as bigint) as shortest_milli
    from rounded as r
)

select
    s.service_key,
    s.length_in,
    s.width_in,
    s.height_in,
    s.is_rectangular,
    s.longest_milli,
    s.second_milli,
    s.shortest_milli,
    dense_rank() over (
        order by s.service_key, s.longest_milli, s.second_milli, s.shortest_milli, s.is_rectangular
    ) as size_key
from sorted as s
