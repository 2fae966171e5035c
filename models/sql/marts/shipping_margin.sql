-- One row per month of shipping; the change is against the month before in the records.
with summed as (
    select
        c.shipped_month,
        cast(sum(c.parcel_count) as bigint) as parcel_count,
        {each all: cast(sum(c.$_cents) as bigint) as $_cents}
    from marts.margin_cells as c
    group by c.shipped_month
)

select
    s.*,
    {mean s.billed_cents over s.parcel_count} as carriage_per_parcel_cents,
    {mean s.margin_cents over s.parcel_count} as margin_per_parcel_cents,
    s.margin_cents - lag(s.margin_cents) over (order by s.shipped_month) as margin_change_cents
from summed as s
