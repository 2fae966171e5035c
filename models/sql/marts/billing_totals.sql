-- One row per month of shipping, carrier and cause: what was billed beyond the tariff, and what became of it.
select
    d.shipped_month, d.carrier, d.difference_class,
    count(*) as dispute_count,
    {sums d.over_cents, d.credited_cents, d.outstanding_cents},
    count(case when d.is_disputable then 1 end) as disputable_count,
    cast(sum(case when d.is_disputable then d.outstanding_cents else 0 end) as bigint) as disputable_cents
from marts.billing_disputes as d
group by d.shipped_month, d.carrier, d.difference_class
