-- One row per month of shipping: how many parcels each kind of record knows. The bill of a shipment is that of its parcels.
with based as (
    select c.parcel_id
    from core.charge_lines as c
    where c.charge_kind = 'base' and not c.is_account
    union
    select s.parcel_id
    from core.shipment_parcels as s
    where s.is_charged
)

select
    p.shipped_month,
    count(*) as parcel_count,
    count(case when p.has_bench_log then 1 end) as benched_parcel_count,
    count(p.length_in) as measured_parcel_count,
    count(b.parcel_id) as charged_count,
    count(case when p.has_sale then 1 end) as sold_parcel_count,
    cast(count(b.parcel_id) as double) / count(*) as invoiced_share,
    count(case when p.dated_by = 'invoice' then 1 end) as dated_by_invoice_count,
    count(case when p.dated_by = 'claim' then 1 end) as dated_by_claim_count
from core.parcels as p
left join based as b on b.parcel_id = p.parcel_id
group by p.shipped_month
