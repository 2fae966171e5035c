-- One row per carrier, item type, service, month and week of shipping, beginning on Monday: parcels, those invoiced, and
-- their charges. A week that two months share has a row in each.
select
    p.carrier, p.item_type,
    coalesce(p.service, 'unknown') as service,
    p.shipped_month,
    cast(date_trunc('week', p.shipped_on) as date) as week_on,
    count(*) as parcel_count,
    count(case when c.base_cents <> 0 then 1 end) as charged_count,
    cast(sum(case when c.base_cents <> 0 then c.billed_cents else 0 end) as bigint) as billed_cents
from core.parcels as p
inner join marts.parcel_costs as c on c.parcel_id = p.parcel_id
where p.has_bench_log or p.has_charges
group by
    p.carrier, p.item_type, coalesce(p.service, 'unknown'), p.shipped_month,
    cast(date_trunc('week', p.shipped_on) as date)
