-- Shares of a parcel's costs add up to the parcel's costs, to the cent.
with shared as (
    select
        l.parcel_id,
        {sums l.billed_cents, l.margin_cents}
    from marts.parcel_line_costs as l
    group by l.parcel_id
)

select
    c.parcel_id, c.billed_cents,
    s.billed_cents as shared_billed_cents,
    c.margin_cents,
    s.margin_cents as shared_margin_cents
from marts.parcel_costs as c
left join shared as s on s.parcel_id = c.parcel_id
where s.parcel_id is null or c.billed_cents <> s.billed_cents or c.margin_cents <> s.margin_cents
