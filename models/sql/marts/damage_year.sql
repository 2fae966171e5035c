-- One row per month, item type and packing method: the twelve months of shipping that end with it.
-- A month's own claims are too few to read; a year's are the least that a packing method can be judged by.
with months as (
    select distinct d.shipped_month as last_month
    from marts.damage_counts as d
)

select
    m.last_month as shipped_month,
    d.item_type, d.packing_method,
    {sums d.parcel_count, d.damage_count, d.loss_count, d.other_claim_count},
    cast(sum(d.damage_count) as double) / sum(d.parcel_count) as crude_damage_rate,
    {sums d.damage_net_cents}
from months as m
inner join marts.damage_counts as d
    on d.shipped_month <= m.last_month
    and d.shipped_month > cast(m.last_month - interval '12' month as date)
group by m.last_month, d.item_type, d.packing_method
