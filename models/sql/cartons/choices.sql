-- One row per class and kind of option: the cheapest, of equal prices the smallest. Price and rank are compared as one
-- whole number: the price, times 2^20, and the rank of the carton by its size.
with ranked as (
    select
        o.option_key, o.option_kind,
        row_number() over (order by o.volume_in3, o.option_key) as option_rank
    from cartons.offers as o
),

least as (
    select
        p.class_key,
        r.option_kind,
        min(p.price_cents * 1048576 + r.option_rank) as price_and_rank
    from cartons.prices as p
    inner join ranked as r on r.option_key = p.option_key
    group by p.class_key, r.option_kind
)

select
    m.class_key,
    c.contents_key,
    m.option_kind,
    r.option_key,
    m.price_and_rank >> 20 as price_cents
from least as m
inner join ranked as r on r.option_rank = m.price_and_rank & 1048575
inner join cartons.classes as c on c.class_key = m.class_key
