-- Each mart of the margin has the billed cents and the margin of marts.parcel_costs, to the cent.
with whole as (
    select
        coalesce(cast(sum(c.billed_cents) as bigint), 0) as billed_cents,
        coalesce(cast(sum(c.margin_cents) as bigint), 0) as margin_cents
    from marts.parcel_costs as c
),

summed as (
    {in_each marts.margin_cells, marts.shipping_margin, marts.margin_by_channel, marts.margin_by_service,
        marts.margin_by_zone, marts.item_type_costs:
        select '$' as mart, cast(sum(t.billed_cents) as bigint) as billed_cents,
            cast(sum(t.margin_cents) as bigint) as margin_cents
        from $ as t}
)

select
    s.mart, s.billed_cents,
    w.billed_cents as parcels_billed_cents,
    s.margin_cents,
    w.margin_cents as parcels_margin_cents
from summed as s
cross join whole as w
where coalesce(s.billed_cents, 0) <> w.billed_cents or coalesce(s.margin_cents, 0) <> w.margin_cents
