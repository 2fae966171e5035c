-- One row per parcel and invoice: its base price as billed, before discounts that stand on lines of their own, and what
-- the billed weight may follow from. A bill of a shipment of several parcels is the price of no weight.
with bills as (
    select
        l.carrier,
        coalesce(max(l.service), max(p.service)) as service,
        coalesce(max(l.zone), max(p.zone)) as zone,
        coalesce(min(l.shipped_on), min(p.shipped_on)) as shipped_on,
        max(l.billed_weight_lb) as billed_weight_lb,
        max(l.amount_cents) as base_cents,
        max(p.scale_weight_lb) as scale_weight_lb,
        coalesce(
            max(l.billed_length_in * l.billed_width_in * l.billed_height_in),
            max(p.length_in * p.width_in * p.height_in)
        ) as volume_in3
    from core.charge_lines as l
    inner join core.parcels as p on p.parcel_id = l.parcel_id
    left join core.shipment_parcels as s on s.parcel_id = l.parcel_id
    where s.parcel_id is null and l.charge_kind = 'base' and l.amount_cents > 0 and l.billed_weight_lb > 0
    group by l.carrier, l.parcel_id, l.invoice_number
)

select b.service, b.zone, b.billed_weight_lb, b.base_cents, b.scale_weight_lb, b.volume_in3
from bills as b
where b.service is not null and b.zone is not null and b.carrier = ? and b.shipped_on >= ? and b.shipped_on <= ?
order by b.service, b.zone, b.billed_weight_lb, b.base_cents
