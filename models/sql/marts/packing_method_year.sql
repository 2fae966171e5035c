-- One row per month and packing method: the twelve months of shipping that end with it, over all item types.
-- Crude: a method used on fragile goods looks worse than it is.
select
    d.shipped_month, d.packing_method,
    {sums d.parcel_count, d.damage_count, d.loss_count, d.other_claim_count},
    cast(sum(d.damage_count) as double) / sum(d.parcel_count) as crude_damage_rate,
    {sums d.damage_net_cents}
from marts.damage_year as d
group by d.shipped_month, d.packing_method
