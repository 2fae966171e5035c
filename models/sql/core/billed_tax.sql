-- One row per parcel whose tariff states its tax: what was billed, and the most that is due on what was billed, by line or
-- on their sum. Where prices contain the tax, none is due beside them.
-- A shipment of several parcels has one row, for all of them. Later lines are taxed like the first ones. A credit may come with its tax or without: it lowers what was billed, not
-- what is due.
with lines as (
    select
        coalesce(s.lead_parcel_id, c.parcel_id) as parcel_id,
        c.invoice_number, c.line_number, c.invoiced_on, c.charge_kind, c.amount_cents,
        case when l.is_tax_in_prices then 0 else l.tax_share_millionths end as share_millionths,
        l.tax_rounding_cents, l.tax_rounding_bias
    from core.charge_lines as c
    left join core.shipment_parcels as s on s.parcel_id = c.parcel_id
    inner join rating.priced as p on p.request_id = coalesce(s.lead_parcel_id, c.parcel_id)
    inner join rating.lanes as l on l.lane_key = p.lane_key
    left join core.repeated_lines as r
        on r.carrier = c.carrier and r.invoice_number = c.invoice_number and r.line_number = c.line_number
    where l.tax_share_millionths is not null and not c.is_account and (c.charge_kind <> 'tax' or r.line_number is null)
),

sums as (
    select
        l.parcel_id,
        min(case when l.charge_kind = 'tax' then l.invoiced_on end) as invoiced_on,
        min(case when l.charge_kind = 'tax' then l.invoice_number end) as invoice_number,
        min(case when l.charge_kind = 'tax' then l.line_number end) as line_number,
        {max l.share_millionths, l.tax_rounding_cents, l.tax_rounding_bias},
        cast(sum(case when l.charge_kind = 'tax' then l.amount_cents else 0 end) as bigint) as billed_cents,
        cast(
            sum(case when l.charge_kind <> 'tax' then greatest(l.amount_cents, 0) else 0 end) as bigint
        ) as taxed_cents,
        cast(
            sum(
                case
                    when l.charge_kind <> 'tax' and l.amount_cents > 0
                        then {amount l.amount_cents * l.share_millionths by l.tax_}
                    else 0
                end
            ) as bigint
        ) as by_line_cents
    from lines as l
    group by l.parcel_id
)

select
    s.parcel_id, s.invoice_number, s.line_number, s.invoiced_on, s.billed_cents,
    greatest({amount s.taxed_cents * s.share_millionths by s.tax_}, s.by_line_cents) as due_cents
from sums as s
where s.line_number is not null
