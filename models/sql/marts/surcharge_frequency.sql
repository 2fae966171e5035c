-- One row per month of shipping, carrier and surcharge: how many of the carrier's charged parcels were charged it.
with shipped as (
    select
        p.shipped_month, p.carrier,
        count(*) as parcel_count
    from core.parcels as p
    where p.has_charges
    group by p.shipped_month, p.carrier
)

select
    p.shipped_month, p.carrier,
    c.surcharge,
    max(s.parcel_count) as parcel_count,
    count(distinct c.parcel_id) as charged_parcel_count,
    cast(count(distinct c.parcel_id) as double) / max(s.parcel_count) as surcharge_rate,
    cast(sum(c.amount_cents) as bigint) as amount_cents
from core.charge_lines as c
inner join core.parcels as p on p.parcel_id = c.parcel_id
inner join shipped as s on s.shipped_month = p.shipped_month and s.carrier = p.carrier
where c.charge_kind = 'surcharge' and not c.is_account
group by p.shipped_month, p.carrier, c.surcharge
