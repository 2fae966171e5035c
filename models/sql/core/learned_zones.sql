-- One row per carrier, service, origin and beginning of a postal code that at least five bills state a zone for: the zone
-- that most of them state. Bills of which less than four in five agree decide nothing; a bill may be disputed only where
-- all of at least 48 agree: by the rule of succession (Laplace, 1814) the next one then does in 49 of 50 cases.
-- Letters and a number such as IV1 stay whole: IV12 does not begin with it.
with figures as (
    {values figure_count in 1, 2, 3, 4, 5, 6, 7, 8, 9, 10}
),

counted as (
    select
        c.carrier, c.service, c.ships_from,
        substr(c.destination_code, 1, f.figure_count) as destination_prefix,
        c.zone,
        cast(sum(c.parcel_count) as bigint) as agreeing_count
    from core.billed_zone_counts as c
    inner join figures as f on f.figure_count <= length(c.destination_code)
    where not {cut c.destination_code after f.figure_count}
    group by c.carrier, c.service, c.ships_from, substr(c.destination_code, 1, f.figure_count), c.zone
),

ranked as (
    select
        c.*,
        cast(
            sum(c.agreeing_count) over (partition by c.carrier, c.service, c.ships_from, c.destination_prefix) as bigint
        ) as zone_bill_count,
        row_number() over (
            partition by c.carrier, c.service, c.ships_from, c.destination_prefix
            order by c.agreeing_count desc, c.zone
        ) as place
    from counted as c
)

select
    r.carrier, r.service, r.ships_from, r.destination_prefix, r.zone, r.zone_bill_count, r.agreeing_count,
    cast(r.agreeing_count as double) / r.zone_bill_count as agreeing_share,
    r.agreeing_count * 5 >= r.zone_bill_count * 4 as is_decided,
    r.agreeing_count = r.zone_bill_count and r.zone_bill_count >= 48 as is_certain
from ranked as r
where r.place = 1 and r.zone_bill_count >= 5
