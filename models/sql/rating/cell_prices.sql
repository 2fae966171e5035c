-- One row per cell: carriage after its discount and all surcharges, before fuel; null where something is lacking.
with shares as (
    select
        s.cell_key,
        cast(sum(s.amount_cents) as bigint) as amount_cents
    from rating.cell_shares as s
    group by s.cell_key
)

select
    c.cell_key,
    c.lane_class_key,
    c.goods_bits,
    c.rated_weight_milli,
    c.is_home,
    c.place_key,
    c.declared_steps,
    b.billed_weight_milli,
    case when b.lacking is null then b.price_cents + b.discount_cents end as base_cents,
    case when b.lacking is null then b.fixed_cents + coalesce(s.amount_cents, 0) end as surcharge_cents,
    b.lacking
from rating.cells as c
inner join rating.cell_bases as b on b.cell_key = c.cell_key
left join shares as s on s.cell_key = c.cell_key
