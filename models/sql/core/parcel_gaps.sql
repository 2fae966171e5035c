-- One row per parcel and record that it lacks: a bill for a packed parcel, a sale for a billed one that is no way back, and for a claimed one
-- that neither the bench log nor an invoice knows, both. The amount of a parcel without a bill is what its tariff
-- expects, and unknown where no tariff does.
with claimed as (
    select
        c.parcel_id,
        cast(sum(c.loss_cents) as bigint) as loss_cents
    from core.claims as c
    group by c.parcel_id
)

select
    p.parcel_id,
    'parcels without a bill' as gap,
    p.shipped_month,
    r.expected_cents as gap_cents
from core.parcels as p
left join core.billed_parcels as b on b.parcel_id = p.parcel_id
left join rating.priced as r on r.request_id = p.parcel_id and r.lacking is null
left join core.shipment_parcels as s on s.parcel_id = p.parcel_id and s.is_charged
where (p.has_bench_log or p.has_charges) and b.parcel_id is null and s.parcel_id is null
union all
select
    p.parcel_id,
    'bills without a sale' as gap,
    p.shipped_month,
    m.billed_cents as gap_cents
from core.parcels as p
inner join marts.parcel_costs as m on m.parcel_id = p.parcel_id
left join (select distinct r.return_parcel_id from accepted.returns as r) as w on w.return_parcel_id = p.parcel_id
where p.has_charges and not p.has_sale and w.return_parcel_id is null
union all
select
    p.parcel_id,
    'claims without a parcel' as gap,
    p.shipped_month,
    c.loss_cents as gap_cents
from core.parcels as p
inner join claimed as c on c.parcel_id = p.parcel_id
where not p.has_bench_log and not p.has_charges
