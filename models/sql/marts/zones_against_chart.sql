-- One row per carrier, service, origin, entry of the zone chart and other zone that bills state: how many bills to that
-- entry do, of how many. Few of many speak against those bills, most of them against the chart.
with counted as (
    select
        c.carrier, c.service, c.ships_from, c.chart_prefix, c.charted_zone, c.zone,
        cast(sum(c.parcel_count) as bigint) as parcel_count
    from core.billed_zone_counts as c
    where c.charted_zone is not null
    group by c.carrier, c.service, c.ships_from, c.chart_prefix, c.charted_zone, c.zone
),

shared as (
    select
        c.*,
        cast(
            sum(c.parcel_count) over (
                partition by c.carrier, c.service, c.ships_from, c.chart_prefix, c.charted_zone
            ) as bigint
        ) as bill_count
    from counted as c
)

select
    s.carrier, s.service, s.ships_from, s.chart_prefix, s.zone, s.charted_zone, s.parcel_count, s.bill_count,
    cast(s.parcel_count as double) / s.bill_count as other_share
from shared as s
where s.zone <> s.charted_zone
