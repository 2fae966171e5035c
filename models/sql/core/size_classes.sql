-- One row per parcel with a billed weight: its class by the weight and, where billed, the longest side. It stands for an item
-- type where a sale line has a title alone, and no rule makes one of it.
with billed as (
    select
        c.parcel_id,
        max(c.billed_weight_lb) as weight_lb,
        max(c.billed_length_in) as side_in
    from accepted.charges as c
    where c.parcel_id is not null
    group by c.parcel_id
)

select
    b.parcel_id,
    case
        when b.weight_lb <= 1 then 'up to 1 lb'
        when b.weight_lb <= 5 then 'up to 5 lb'
        when b.weight_lb <= 10 then 'up to 10 lb'
        when b.weight_lb <= 20 then 'up to 20 lb'
        when b.weight_lb <= 50 then 'up to 50 lb'
        when b.weight_lb <= 70 then 'up to 70 lb'
        else 'over 70 lb'
    end || case
        when b.side_in is null then ''
        when b.side_in <= 12 then ', up to 12 in'
        when b.side_in <= 24 then ', up to 24 in'
        when b.side_in <= 36 then ', up to 36 in'
        when b.side_in <= 48 then ', up to 48 in'
        when b.side_in <= 72 then ', up to 72 in'
        else ', over 72 in'
    end as size_class
from billed as b
where b.weight_lb is not null
