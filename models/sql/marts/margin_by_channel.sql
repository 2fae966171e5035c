-- One row per month of shipping and channel; account fees stand as `account`, with no parcel.
with summed as (
    select
        m.shipped_month, m.channel,
        cast(sum(m.parcel_count) as bigint) as parcel_count,
        {each split: cast(sum(m.$_cents) as bigint) as $_cents}
    from marts.margin_cells as m
    group by m.shipped_month, m.channel
)

select
    s.*,
    {mean s.billed_cents over s.parcel_count} as carriage_per_parcel_cents,
    {mean s.margin_cents over s.parcel_count} as margin_per_parcel_cents
from summed as s
