-- One row per record kind: what has been imported, and what is still rejected.
with kinds as (
    select 'sales' as kind, count(*) as row_count, min(cast(s.sold_at as date)) as first_on,
        max(cast(s.sold_at as date)) as last_on
    from accepted.sales as s
    union all
    select 'weights' as kind, count(*) as row_count, min(w.shipped_on) as first_on, max(w.shipped_on) as last_on
    from accepted.weights as w
    union all
    select 'charges' as kind, count(*) as row_count, min(c.invoiced_on) as first_on, max(c.invoiced_on) as last_on
    from accepted.charges as c
    union all
    select 'claims' as kind, count(*) as row_count, min(c.opened_on) as first_on, max(c.opened_on) as last_on
    from accepted.claims as c
    union all
    select 'returns' as kind, count(*) as row_count, min(r.returned_on) as first_on, max(r.returned_on) as last_on
    from accepted.returns as r
    union all
    select 'labels' as kind, count(*) as row_count, min(l.bought_on) as first_on,
        max(greatest(l.bought_on, coalesce(l.first_scan_on, l.bought_on))) as last_on
    from accepted.labels as l
    union all
    {in_each cartons, packing_methods, carton_prices:
    select '$' as kind, count(*) as row_count, min(e.effective_from) as first_on, max(e.effective_from) as last_on
    from accepted.$ as e}
    union all
    {in_each item_types, skus, charge_codes:
    select '$' as kind, count(*) as row_count, cast(null as date) as first_on, cast(null as date) as last_on
    from accepted.$ as u}
),

imported as (
    select
        d.kind,
        count(*) as delivery_count,
        max(d.landed_at) as landed_at
    from intake.deliveries as d
    where d.delivery_id not in (select w.delivery_id from intake.withdrawals as w)
    group by d.kind
),

refused as (
    select
        r.kind,
        count(*) as rejected_count
    from rejected.rows as r
    where r.resolved_by is null
    group by r.kind
)

select
    k.kind, k.row_count, k.first_on, k.last_on,
    coalesce(l.delivery_count, 0) as delivery_count,
    l.landed_at,
    coalesce(r.rejected_count, 0) as rejected_count
from kinds as k
left join imported as l on l.kind = k.kind
left join refused as r on r.kind = k.kind
