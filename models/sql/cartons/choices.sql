-- One row per class and kind of option: the cheapest, of equal prices the smallest.
with ranked as (
    select
        p.class_key,
        p.option_kind,
        p.option_key,
        p.price_cents,
        row_number() over (
            partition by p.class_key, p.option_kind order by p.price_cents, o.volume_in3, p.option_key
        ) as place
    from cartons.prices as p
    inner join cartons.offers as o on o.option_key = p.option_key
)

select
    r.class_key,
    c.contents_key,
    r.option_kind,
    r.option_key,
    r.price_cents
from ranked as r
inner join cartons.classes as c on c.class_key = r.class_key
where r.place = 1
