-- One row per service and sides as given: the same sides in thousandths of the tariff's unit, rounded, longest first.
-- A side is rounded to a thousandth before anything else, so that 121.92 cm stay 48 in; the millionth of a thousandth
-- keeps halves that binary numbers fall short of.
with given as (
    select distinct
        r.carrier, r.service, r.length_in, r.width_in, r.height_in,
        coalesce(r.is_rectangular, true) as is_rectangular
    from rating.requests as r
    where r.length_in > 0 and r.width_in > 0 and r.height_in > 0
),

-- Every edition of a service that is asked for: which of them sides belong to is not worth a look at each request.
editions as (
    select distinct l.carrier, l.service, l.service_key, l.length_per_in, l.side_step_milli, l.side_bias_milli
    from rating.lanes as l
    where l.service_key is not null
),

rounded as (
    select
        e.service_key,
        g.*,
        floor(({milli g.length_in * e.length_per_in} + e.side_bias_milli) / e.side_step_milli)
        * e.side_step_milli as one_milli,
        floor(({milli g.width_in * e.length_per_in} + e.side_bias_milli) / e.side_step_milli)
        * e.side_step_milli as two_milli,
        floor(({milli g.height_in * e.length_per_in} + e.side_bias_milli) / e.side_step_milli)
        * e.side_step_milli as three_milli
    from given as g
    inner join editions as e on e.carrier = g.carrier and e.service = g.service
),

sorted as (
    select
        r.*,
        cast(greatest(r.one_milli, r.two_milli, r.three_milli) as bigint) as longest_milli,
        cast(
            r.one_milli + r.two_milli + r.three_milli - greatest(r.one_milli, r.two_milli, r.three_milli)
            - least(r.one_milli, r.two_milli, r.three_milli) as bigint
        ) as second_milli,
        cast(least(r.one_milli, r.two_milli, r.three_milli) as bigint) as shortest_milli
    from rounded as r
)

select
    s.service_key, s.length_in, s.width_in, s.height_in, s.is_rectangular, s.longest_milli, s.second_milli,
    s.shortest_milli,
    dense_rank() over (
        order by s.service_key, s.longest_milli, s.second_milli, s.shortest_milli, s.is_rectangular
    ) as size_key
from sorted as s
