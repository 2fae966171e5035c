-- One row per month of shipping, carrier, service, zone and item type: what parcels were billed, without the tax that the
-- shop gets back, beside what their tariff expects, and how many wait for a bill.
with shipped as (
    select
        p.shipped_month, p.carrier,
        {or_unknown p.service, p.zone},
        p.item_type,
        b.parcel_id is not null or coalesce(s.is_charged, false) as is_billed,
        c.billed_cents + c.tax_reclaimed_cents as billed_cents,
        c.carton_cents + c.material_cents + c.labour_cents as all_packing_cents,
        r.expected_cents
    from core.parcels as p
    inner join marts.parcel_costs as c on c.parcel_id = p.parcel_id
    left join core.billed_parcels as b on b.parcel_id = p.parcel_id
    left join core.shipment_parcels as s on s.parcel_id = p.parcel_id
    left join rating.priced as r on r.request_id = p.parcel_id and r.lacking is null
    where p.has_bench_log or p.has_charges
)

select
    s.shipped_month, s.carrier, s.service, s.zone, s.item_type,
    count(*) as parcel_count,
    count(case when s.is_billed then 1 end) as charged_count,
    cast(sum(case when s.is_billed then s.billed_cents else 0 end) as bigint) as billed_cents,
    cast(
        sum(case when s.is_billed then cast(s.billed_cents as double) * s.billed_cents else 0 end) as double
    ) as billed_square,
    cast(sum(s.all_packing_cents) as bigint) as all_packing_cents,
    count(case when s.is_billed then s.expected_cents end) as priced_count,
    cast(
        sum(case when s.is_billed and s.expected_cents is not null then s.billed_cents else 0 end) as bigint
    ) as priced_billed_cents,
    cast(sum(case when s.is_billed then coalesce(s.expected_cents, 0) else 0 end) as bigint) as priced_expected_cents,
    cast(
        sum(
            case
                when s.is_billed and s.expected_cents is not null
                    then cast(s.billed_cents - s.expected_cents as double) * (s.billed_cents - s.expected_cents)
                else 0
            end
        ) as double
    ) as miss_square,
    count(case when not s.is_billed then s.expected_cents end) as unbilled_priced_count,
    cast(
        sum(case when not s.is_billed then coalesce(s.expected_cents, 0) else 0 end) as bigint
    ) as unbilled_expected_cents
from shipped as s
group by s.shipped_month, s.carrier, s.service, s.zone, s.item_type
