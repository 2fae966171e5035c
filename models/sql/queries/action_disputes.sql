-- One row per carrier and cause: what can still be disputed, and by when.
select
    d.carrier, d.difference_class,
    count(distinct d.parcel_id) as parcel_count,
    count(*) as line_count,
    cast(sum(d.outstanding_cents) as bigint) as outstanding_cents,
    min(d.last_dispute_on) as last_dispute_on
from marts.billing_disputes as d
where d.is_disputable and d.outstanding_cents > 0
group by d.carrier, d.difference_class
order by d.carrier, d.difference_class
