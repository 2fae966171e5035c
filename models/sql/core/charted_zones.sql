-- One row per tariff, service and destination of parcels whose zone is not on record: the zone that the tariff's chart
-- gives. A row for the very service goes before one for all, then the longest prefix that the postal code begins with.
with asked as (
    select
        d.tariff_key,
        p.service,
        p.destination_prefix,
        {postal p.destination_prefix} as code
    from core.parcels as p
    inner join core.tariff_days as d
        on d.carrier = p.carrier and d.service = coalesce(p.service, '') and d.shipped_on = p.shipped_on
    where p.zone is null and p.destination_prefix is not null
    group by d.tariff_key, p.service, p.destination_prefix
),

fitting as (
    select
        a.tariff_key,
        a.service,
        a.destination_prefix,
        z.zone,
        row_number() over (
            partition by a.tariff_key, a.service, a.destination_prefix
            order by case when z.service = '' then 1 else 0 end, length(z.destination_prefix) desc
        ) as place
    from asked as a
    inner join shop.tariff_zones as z
        on z.tariff_key = a.tariff_key
        and (z.service = '' or z.service = a.service)
        and z.destination_prefix = substr(a.code, 1, cast(length(z.destination_prefix) as integer))
    where
        not z.is_whole
        or translate(
            substr(a.code, cast(length(z.destination_prefix) as integer) + 1, 1), '0123456789', '0000000000'
        ) <> '0'
)

select
    f.tariff_key,
    f.service,
    f.destination_prefix,
    f.zone
from fitting as f
where f.place = 1
