-- One row per service whose surcharges ask for areas, and destination asked for that lies in one of them: the longest
-- entry that its postal code begins with decides.
with asked as (
    select
        r.destination_prefix,
        {postal r.destination_prefix} as code
    from rating.requests as r
    where r.destination_prefix is not null
    group by r.destination_prefix
),

lengths as (
    select distinct
        p.tariff_key,
        length(p.destination_prefix) as figure_count
    from shop.tariff_places as p
),

fitting as (
    select
        l.tariff_key,
        a.destination_prefix,
        p.place_key,
        row_number() over (partition by l.tariff_key, a.destination_prefix order by l.figure_count desc) as place
    from asked as a
    inner join lengths as l on l.figure_count <= length(a.code)
    inner join shop.tariff_places as p
        on p.tariff_key = l.tariff_key and p.destination_prefix = substr(a.code, 1, cast(l.figure_count as integer))
    where
        not p.is_whole
        or translate(substr(a.code, cast(l.figure_count as integer) + 1, 1), '0123456789', '0000000000') <> '0'
)

select
    s.service_key,
    f.destination_prefix, f.place_key
from fitting as f
inner join shop.tariff_services as s on s.tariff_key = f.tariff_key and s.has_area
where f.place = 1
