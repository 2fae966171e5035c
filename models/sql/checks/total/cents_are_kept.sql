-- Each mart of the margin has the billed cents and the margin of marts.parcel_costs, to the cent.
with whole as (
    select
        coalesce(cast(sum(c.billed_cents) as bigint), 0) as billed_cents,
        coalesce(cast(sum(c.margin_cents) as bigint), 0) as margin_cents
    from marts.parcel_costs as c
),

summed as (
    select 'marts.margin_cells' as mart, cast(sum(c.billed_cents) as bigint) as billed_cents,
        cast(sum(c.margin_cents) as bigint) as margin_cents
    from marts.margin_cells as c
    union all
    select 'marts.shipping_margin' as mart, cast(sum(m.billed_cents) as bigint) as billed_cents,
        cast(sum(m.margin_cents) as bigint) as margin_cents
    from marts.shipping_margin as m
    union all
    select 'marts.margin_by_channel' as mart, cast(sum(m.billed_cents) as bigint) as billed_cents,
        cast(sum(m.margin_cents) as bigint) as margin_cents
    from marts.margin_by_channel as m
    union all
    select 'marts.margin_by_service' as mart, cast(sum(m.billed_cents) as bigint) as billed_cents,
        cast(sum(m.margin_cents) as bigint) as margin_cents
    from marts.margin_by_service as m
    union all
    select 'marts.margin_by_zone' as mart, cast(sum(m.billed_cents) as bigint) as billed_cents,
        cast(sum(m.margin_cents) as bigint) as margin_cents
    from marts.margin_by_zone as m
    union all
    select 'marts.item_type_costs' as mart, cast(sum(i.billed_cents) as bigint) as billed_cents,
        cast(sum(i.margin_cents) as bigint) as margin_cents
    from marts.item_type_costs as i
)

select
    s.mart,
    s.billed_cents,
    w.billed_cents as parcels_billed_cents,
    s.margin_cents,
    w.margin_cents as parcels_margin_cents
from summed as s
cross join whole as w
where coalesce(s.billed_cents, 0) <> w.billed_cents or coalesce(s.margin_cents, 0) <> w.margin_cents
