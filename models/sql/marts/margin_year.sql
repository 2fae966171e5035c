-- One row per month: the sums of the twelve months of shipping that end with it.
-- A month of few parcels is no ground for a verdict; its year may be one.
select
    m.shipped_month,
    min(s.shipped_month) as from_month,
    {sums s.parcel_count, s.billed_cents, s.margin_cents}
from marts.shipping_margin as m
inner join marts.shipping_margin as s
    on s.shipped_month <= m.shipped_month
    and s.shipped_month > cast(m.shipped_month - interval '12' month as date)
group by m.shipped_month
