-- One row per month and what may be missing of its records: how many should have their counterpart, how many have none,
-- and the money of these as far as it is known. Sales count in their month of sale, all else in that of shipping.
with due as (
    select
        cast(date_trunc('month', s.sold_at) as date) as shipped_month,
        'sales without a parcel' as gap,
        count(*) as due_count
    from core.sale_lines as s
    where s.sale_state in ('sold', 'returned')
    group by cast(date_trunc('month', s.sold_at) as date)
    union all
    select
        p.shipped_month,
        'parcels without a bill' as gap,
        count(*) as due_count
    from core.parcels as p
    where p.has_bench_log or p.has_charges
    group by p.shipped_month
    union all
    select
        p.shipped_month,
        'bills without a sale' as gap,
        count(*) as due_count
    from core.parcels as p
    where p.has_charges
    group by p.shipped_month
    union all
    select
        p.shipped_month,
        'claims without a parcel' as gap,
        count(distinct c.parcel_id) as due_count
    from core.claims as c
    inner join core.parcels as p on p.parcel_id = c.parcel_id
    group by p.shipped_month
),

found as (
    select
        cast(date_trunc('month', s.sold_at) as date) as shipped_month,
        'sales without a parcel' as gap,
        s.gap_cents
    from core.unsent_sales as s
    union all
    select g.shipped_month, g.gap, g.gap_cents
    from core.parcel_gaps as g
),

missing as (
    select
        f.shipped_month, f.gap,
        count(*) as missing_count,
        count(f.gap_cents) as valued_count,
        cast(sum(f.gap_cents) as bigint) as missing_cents
    from found as f
    group by f.shipped_month, f.gap
)

select
    d.shipped_month, d.gap,
    coalesce(m.missing_count, 0) as missing_count,
    d.due_count,
    coalesce(m.valued_count, 0) as valued_count,
    case when m.missing_count is null then 0 else m.missing_cents end as missing_cents
from due as d
left join missing as m on m.shipped_month = d.shipped_month and m.gap = d.gap
