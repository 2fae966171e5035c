-- One row per day of sale and item type: sales of which no parcel is on record, and what buyers paid for shipping them.
with sales as (
    select
        s.sale_id,
        min(cast(s.sold_at as date)) as sold_on,
        min(s.item_type) as item_type,
        cast(sum(s.gap_cents) as bigint) as income_cents
    from core.unsent_sales as s
    group by s.sale_id
)

select
    s.sold_on, s.item_type,
    count(*) as sale_count,
    cast(sum(s.income_cents) as bigint) as income_cents
from sales as s
group by s.sold_on, s.item_type
