-- One row per parcel of which the bench log packed no line, and known sale in it. A sale that the bench log names counts first,
-- then the sale's own word, then the label's, then what the carrier's invoice repeats of the label.
with seen as (
    select c.parcel_id from accepted.charges as c
    union
    select m.parcel_id from accepted.claims as m
    union
    select w.parcel_id from accepted.weights as w where w.line_number is null
),

ranked as (
    select
        r.parcel_id, r.sale_id, r.named_by,
        dense_rank() over (
            partition by r.parcel_id
            order by case r.named_by when 'bench log' then 1 when 'sale' then 2 when 'label' then 3 else 4 end
        ) as place
    from core.parcel_references as r
    inner join (select distinct s.sale_id from accepted.sales as s) as k on k.sale_id = r.sale_id
    inner join seen as n on n.parcel_id = r.parcel_id
    left join accepted.weights as b on b.parcel_id = r.parcel_id and b.line_number is not null
    where b.parcel_id is null
)

select r.parcel_id, r.sale_id, r.named_by
from ranked as r
where r.place = 1
