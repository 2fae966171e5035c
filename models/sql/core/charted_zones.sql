-- One row per tariff, service and destination: the zone that the tariff's chart gives, and the entry that gives it.
-- A row for the very service goes before one for all, then the longest prefix that the postal code begins with.
with asked as (
    select
        d.tariff_key,
        p.service,
        p.destination_prefix,
        {postal p.destination_prefix} as code
    from core.parcels as p
    inner join core.tariff_days as d
        on d.carrier = p.carrier and d.service = coalesce(p.service, '') and d.shipped_on = p.shipped_on
    where p.destination_prefix is not null
    group by d.tariff_key, p.service, p.destination_prefix
),

lengths as (
    select distinct
        z.tariff_key,
        z.service,
        length(z.destination_prefix) as figure_count
    from shop.tariff_zones as z
),

fitting as (
    select
        a.tariff_key,
        a.service,
        a.destination_prefix,
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

select
    f.tariff_key,
    f.service,
    f.destination_prefix,
    f.chart_prefix,
    f.zone
from fitting as f
where f.place = 1
