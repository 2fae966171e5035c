-- One row per lane of a carrier that has announced a price list for the year after the last parcel on record: the list's
-- first day, and the day on which its parcels are priced by it. They move by whole years of 52 weeks, so that their season stays.
with last_day as (
    select max(p.shipped_on) as last_on
    from cartons.recent as p
),

announced as (
    select
        t.carrier,
        max(t.effective_from) as effective_from
    from shop.tariffs as t
    cross join last_day as d
    where t.effective_from > d.last_on and date_diff('day', d.last_on, t.effective_from) <= 364
    group by t.carrier
)

select
    l.lane_key,
    a.effective_from,
    cast(
        l.shipped_on + cast(ceil(date_diff('day', l.shipped_on, a.effective_from) / 364) as integer) * 364 as date
    ) as priced_on
from rating.lanes as l
inner join announced as a on a.carrier = l.carrier
