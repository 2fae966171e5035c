-- One row per month, carrier, service and zone: what a parcel's carriage came to in the twelve months that end with it.
-- A month's parcels are too few for a grid of services and zones.
with months as (
    select distinct c.shipped_month as last_month
    from marts.margin_cells as c
)

select
    m.last_month as shipped_month,
    c.carrier, c.service, c.zone,
    {sums c.parcel_count, c.billed_cents, c.tax_cents},
    cast(round(cast(sum(c.billed_cents) as double) / sum(c.parcel_count)) as bigint) as carriage_per_parcel_cents
from months as m
inner join marts.margin_cells as c
    on c.shipped_month <= m.last_month
    and c.shipped_month > cast(m.last_month - interval '12' month as date)
where c.zone not in ('unknown', 'account fees')
group by m.last_month, c.carrier, c.service, c.zone
having sum(c.parcel_count) > 0
