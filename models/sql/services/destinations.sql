-- One row per service of a tariff and destination: the zone by the tariff's chart, the days promised for it, and what is lacking.
-- A service whose prices hold for every zone needs no chart. Entries that say more than the destination is known by leave
-- its zone open where they name another one.
with asked as (
    select
        p.destination_prefix,
        {postal p.destination_prefix} as code
    from services.parcels as p
    where p.not_compared is null
    group by p.destination_prefix
),

code_lengths as (
    select distinct length(a.code) as figure_count
    from asked as a
),

further as (
    select distinct
        z.tariff_key, z.service,
        substr(z.destination_prefix, 1, cast(n.figure_count as integer)) as code,
        z.zone
    from shop.tariff_zones as z
    inner join code_lengths as n on length(z.destination_prefix) > n.figure_count
),

priced as (
    select distinct p.service_key, p.zone
    from shop.tariff_prices as p
),

priced_everywhere as (
    select
        p.service_key,
        count(*) as zone_count
    from priced as p
    group by p.service_key
    having max(case when p.zone = '*' then 1 else 0 end) = 1
),

charted as (
    select
        s.service_key,
        a.destination_prefix,
        c.zone,
        max(case when f.zone <> c.zone then 1 else 0 end) as is_open
    from asked as a
    cross join shop.tariff_services as s
    left join core.charted_zones as c
        on c.tariff_key = s.tariff_key and c.service = s.service and c.destination_prefix = a.destination_prefix
    left join further as f
        on f.tariff_key = s.tariff_key and (f.service = '' or f.service = s.service) and f.code = a.code
    group by s.service_key, a.destination_prefix, c.zone
)

select
    c.service_key, c.destination_prefix, c.zone,
    coalesce(own.promised_days, every.promised_days) as promised_days,
    case
        when c.zone is null and coalesce(e.zone_count, 2) > 1 then 'no zone by the chart'
        when c.is_open = 1 and coalesce(e.zone_count, 2) > 1 then 'zone left open by the chart'
        when p.zone is null and e.zone_count is null then 'zone not in the tariff'
        when coalesce(own.promised_days, every.promised_days) is null then 'no days promised'
    end as not_compared
from charted as c
left join priced as p on p.service_key = c.service_key and p.zone = c.zone
left join priced_everywhere as e on e.service_key = c.service_key
left join shop.tariff_promises as own on own.service_key = c.service_key and own.zone = c.zone
left join shop.tariff_promises as every on every.service_key = c.service_key and every.zone = '*' and p.zone is null
