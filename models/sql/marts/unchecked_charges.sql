-- One row per month of shipping, carrier, cause and charge that is no billing error: options and events at the amount that
-- the tariff states, and charges that nothing can be said of.
select
    d.shipped_month, d.carrier, d.difference_class, d.charge_name,
    count(*) as line_count,
    count(distinct d.parcel_id) as parcel_count,
    cast(sum(d.difference_cents) as bigint) as billed_cents
from marts.billing_differences as d
where d.difference_class in ('not checked', 'option or event')
group by d.shipped_month, d.carrier, d.difference_class, d.charge_name
