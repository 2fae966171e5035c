-- One row per week, item type, service used, its zone and other service that it was compared with: parcels, and what both tariffs
-- expect of them. `last_month` is the last in which any parcel was shipped.
with latest as (
    select max(p.shipped_month) as last_month
    from core.parcels as p
)

select
    l.last_month,
    p.shipped_month,
    cast(date_trunc('week', p.shipped_on) as date) as shipped_week,
    p.item_type, p.carrier, p.service,
    m.zone,
    t.carrier as other_carrier,
    o.service as other_service,
    count(*) as parcel_count,
    cast(sum(m.expected_cents) as bigint) as expected_cents,
    cast(sum(s.other_cents) as bigint) as other_cents,
    cast(sum(s.learned_within_cents) as bigint) as learned_within_cents,
    count(case when c.base_cents <> 0 then 1 end) as billed_parcel_count,
    cast(sum(case when c.base_cents <> 0 then c.billed_cents else 0 end) as bigint) as billed_cents
from analysis.parcel_services as s
inner join shop.tariff_services as o on o.service_key = s.other_service_key
inner join shop.tariffs as t on t.tariff_key = o.tariff_key
inner join analysis.compared_parcels as m on m.parcel_number = s.parcel_number
inner join core.parcels as p on p.parcel_id = m.parcel_id
cross join latest as l
left join marts.parcel_costs as c on c.parcel_id = m.parcel_id
where s.other_cents is not null
group by
    l.last_month,
    p.shipped_month,
    cast(date_trunc('week', p.shipped_on) as date),
    p.item_type, p.carrier, p.service,
    m.zone,
    t.carrier,
    o.service
