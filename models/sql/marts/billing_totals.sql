-- One row per month of shipping, carrier and cause: what was billed beyond the tariff, and what became of it.
select
    d.shipped_month,
    d.carrier,
    d.difference_class,
    count(*) as dispute_count,
    cast(sum(d.over_cents) as bigint) as over_cents,
    cast(sum(d.credited_cents) as bigint) as credited_cents,
    cast(sum(d.outstanding_cents) as bigint) as outstanding_cents,
    count(case when d.is_disputable then 1 end) as disputable_count,
    cast(sum(case when d.is_disputable then d.outstanding_cents else 0 end) as bigint) as disputable_cents
from marts.billing_disputes as d
group by d.shipped_month, d.carrier, d.difference_class
