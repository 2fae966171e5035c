-- One row per parcel that an invoice or claim knows and no bench log, and known sale in it. The sale's own word counts
-- first, then the label's, then what the carrier's invoice repeats of the label.
with seen as (
    select c.parcel_id from accepted.charges as c
    union
    select m.parcel_id from accepted.claims as m
),

ranked as (
    select
        r.parcel_id,
        r.sale_id,
        r.named_by,
        dense_rank() over (
            partition by r.parcel_id
            order by case r.named_by when 'sale' then 1 when 'label' then 2 else 3 end
        ) as place
    from core.parcel_references as r
    inner join (select distinct s.sale_id from accepted.sales as s) as k on k.sale_id = r.sale_id
    inner join seen as n on n.parcel_id = r.parcel_id
    left join accepted.weights as b on b.parcel_id = r.parcel_id
    where b.parcel_id is null
)

select
    r.parcel_id,
    r.sale_id,
    r.named_by
from ranked as r
where r.place = 1
