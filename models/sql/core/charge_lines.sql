-- One row per line of a carrier's invoice, its kind and surcharge resolved by what the shop said of the carrier's word, else
-- by the charge-code map.
-- A line that names a shipment alone stands under the first parcel of it. While no record names one, a shipment with a base
-- charge is a parcel under its own number. Every other line is an account fee: it stands under `account CARRIER MONTH`, so
-- that totals keep it.
with resolved as (
    select
        c.*,
        coalesce(c.charge_kind, w.charge_kind, m.charge_kind, 'unmapped') as known_kind,
        coalesce(w.surcharge, m.surcharge) as mapped_surcharge,
        cast(date_trunc('month', c.invoiced_on) as date) as invoice_month
    from accepted.charges as c
    left join shop.charge_words as w on w.carrier = c.carrier and w.charge_code = c.charge_code
    left join accepted.charge_codes as m on m.carrier = c.carrier and m.charge_code = c.charge_code
),

leads as (
    select distinct s.carrier, s.shipment_id, s.lead_parcel_id
    from core.shipment_members as s
    union
    select
        r.carrier, r.shipment_id,
        r.shipment_id as lead_parcel_id
    from resolved as r
    left join core.shipment_members as s on s.carrier = r.carrier and s.shipment_id = r.shipment_id
    where r.known_kind = 'base' and r.shipment_id is not null and s.parcel_id is null
)

select
    r.carrier, r.invoice_number, r.line_number, r.invoiced_on, r.invoice_month,
    coalesce(r.parcel_id, s.lead_parcel_id, 'account ' || r.carrier || ' ' || substr(cast(r.invoice_month as varchar), 1, 7))
        as parcel_id,
    r.parcel_id is null and s.lead_parcel_id is null as is_account,
    r.shipment_id,
    r.parcel_id is null and s.lead_parcel_id is not null as names_no_parcel,
    r.sale_id, r.shipped_on, r.service, r.zone, r.charge_code,
    r.known_kind as charge_kind,
    case when r.known_kind = 'surcharge' then coalesce(r.mapped_surcharge, lower(r.charge_code)) end as surcharge,
    r.amount_cents, r.invoice_total_cents, r.billed_weight_lb, r.billed_length_in, r.billed_width_in, r.billed_height_in
from resolved as r
left join leads as s on s.carrier = r.carrier and s.shipment_id = r.shipment_id
