-- One row per tariff, service and destination: the zone that the tariff's chart gives, and the entry that gives it; for
-- every service of a tariff with a chart, whichever of them a parcel went by.
-- A row for the very service goes before one for all, then the longest prefix that the postal code begins with.
with charted as (
    select distinct z.tariff_key
    from shop.tariff_zones as z
),

asked as (
    select
        d.tariff_key,
        p.service, p.destination_prefix,
        {postal p.destination_prefix} as code
    from core.parcels as p
    inner join core.tariff_days as d
        on d.carrier = p.carrier and d.service = coalesce(p.service, '') and d.shipped_on = p.shipped_on
    inner join charted as c on c.tariff_key = d.tariff_key
    where p.destination_prefix is not null
    union
    select
        s.tariff_key, s.service,
        p.destination_prefix,
        {postal p.destination_prefix} as code
    from (
        select distinct d.destination_prefix
        from core.parcels as d
        where d.destination_prefix is not null
    ) as p
    cross join charted as c
    inner join shop.tariff_services as s on s.tariff_key = c.tariff_key
),

lengths as (
    select distinct
        z.tariff_key, z.service,
        length(z.destination_prefix) as figure_count
    from shop.tariff_zones as z
),

fitting as (
    select
        a.tariff_key, a.service, a.destination_prefix,
        z.destination_prefix as chart_prefix,
        z.zone,
        row_number() over (
            partition by a.tariff_key, a.service, a.destination_prefix
            order by case when z.service = '' then 1 else 0 end, n.figure_count desc
        ) as place
    from asked as a
    inner join lengths as n
        on n.tariff_key = a.tariff_key and (n.service = '' or n.service = a.service) and n.figure_count <= length(a.code)
    inner join shop.tariff_zones as z
        on z.tariff_key = a.tariff_key
        and z.service = n.service
        and z.destination_prefix = substr(a.code, 1, cast(n.figure_count as integer))
    where
        not z.is_whole
        or translate(substr(a.code, cast(n.figure_count as integer) + 1, 1), '0123456789', '0000000000') <> '0'
)

select f.tariff_key, f.service, f.destination_prefix, f.chart_prefix, f.zone
from fitting as f
where f.place = 1
