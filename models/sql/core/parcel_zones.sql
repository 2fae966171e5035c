-- One row per parcel whose zone is not on record: the zone that its tariff's chart gives, else the one that bills to the
-- longest known beginning of its postal code mostly state (core.learned_zones).
with lacking as (
    select
        p.parcel_id, p.carrier, p.service, p.destination_prefix,
        {postal p.destination_prefix} as destination_code,
        d.tariff_key,
        coalesce(d.ships_from, '') as ships_from
    from core.parcels as p
    left join core.tariff_days as d
        on d.carrier = p.carrier and d.service = coalesce(p.service, '') and d.shipped_on = p.shipped_on
    where p.zone is null
),

asked as (
    select distinct l.carrier, l.service, l.ships_from, l.destination_code
    from lacking as l
    where l.service is not null and l.destination_code is not null
),

lengths as (
    select distinct
        z.carrier, z.service, z.ships_from,
        length(z.destination_prefix) as figure_count
    from core.learned_zones as z
),

fitting as (
    select
        a.carrier, a.service, a.ships_from, a.destination_code,
        z.destination_prefix as learned_prefix,
        z.zone, z.is_decided, z.is_certain,
        row_number() over (
            partition by a.carrier, a.service, a.ships_from, a.destination_code order by n.figure_count desc
        ) as place
    from asked as a
    inner join lengths as n
        on {alike n, a in carrier, service, ships_from}
        and n.figure_count <= length(a.destination_code)
    inner join core.learned_zones as z
        on {alike z, a in carrier, service, ships_from}
        and z.destination_prefix = substr(a.destination_code, 1, cast(n.figure_count as integer))
    where not {cut a.destination_code after cast(n.figure_count as integer)}
)

select
    l.parcel_id, l.ships_from,
    case
        when c.zone is not null then 'chart'
        when f.is_decided then 'bills'
        when f.zone is not null then 'bills disagree'
        else 'not known'
    end as zone_source,
    case when c.zone is not null then c.zone when f.is_decided then f.zone end as zone,
    case when c.zone is null then f.learned_prefix end as learned_prefix,
    c.zone is not null or coalesce(f.is_certain, false) as is_certain
from lacking as l
left join core.charted_zones as c on {alike c, l in tariff_key, service?, destination_prefix}
left join fitting as f on {alike f, l in carrier, service, ships_from, destination_code} and f.place = 1
