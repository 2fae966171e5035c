-- One row per month: the sums of the twelve months of shipping that end with it.
-- A month of few parcels is no ground for a verdict; its year may be one.
select
    m.shipped_month,
    min(s.shipped_month) as from_month,
    cast(sum(s.parcel_count) as bigint) as parcel_count,
    cast(sum(s.billed_cents) as bigint) as billed_cents,
    cast(sum(s.margin_cents) as bigint) as margin_cents
from marts.shipping_margin as m
inner join marts.shipping_margin as s
    on s.shipped_month <= m.shipped_month
    and s.shipped_month > cast(m.shipped_month - interval '12' month as date)
group by m.shipped_month
