-- One row per item type and zone band: what one piece in its own parcel cost to ship in the last twelve months of
-- shipping, beside what buyers paid. Parcels without a base charge are left out: their cost is not known yet. Damage is
-- kept apart, as the item type's mean: it is rare and expensive, and a percentile of single parcels would not see it.
with months as (
    select
        v.shipped_month,
        max(v.shipped_month) over () as last_month
    from marts.coverage as v
),

latest as (
    select m.shipped_month
    from months as m
    where m.shipped_month > cast(m.last_month - interval '12' month as date)
),

shipped as (
    select
        c.item_type,
        coalesce(z.zone_band, 'unknown') as zone_band,
        c.shipped_on,
        {sum costs: c.$_cents} - c.damage_net_cents as cost_cents,
        c.damage_net_cents, c.shipping_charged_cents, c.allowance_cents, c.fee_on_shipping_cents, c.margin_cents
    from marts.parcel_costs as c
    inner join latest as l on l.shipped_month = c.shipped_month
    left join core.zone_bands as z on z.carrier = c.carrier and z.zone = coalesce(c.zone, 'unknown')
    where not c.is_account and c.piece_count = 1 and c.base_cents <> 0
),

risks as (
    select
        s.item_type,
        cast(round(avg(s.damage_net_cents)) as bigint) as damage_per_parcel_cents
    from shipped as s
    group by s.item_type
),

levels as (
    select
        s.item_type, s.zone_band,
        min(s.shipped_on) as first_on,
        max(s.shipped_on) as last_on,
        count(*) as parcel_count,
        cast(round(percentile_cont(0.5) within group (order by s.cost_cents)) as bigint) as past_median_cents,
        cast(round(percentile_cont(0.8) within group (order by s.cost_cents)) as bigint) as past_high_cents,
        {sums s.shipping_charged_cents, s.allowance_cents, s.fee_on_shipping_cents, s.margin_cents}
    from shipped as s
    group by s.item_type, s.zone_band
)

select
    v.*,
    r.damage_per_parcel_cents
from levels as v
inner join risks as r on r.item_type = v.item_type
