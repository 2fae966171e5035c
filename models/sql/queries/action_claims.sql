-- One row per task: claims that want something done and can still bring money.
select
    c.claim_task,
    count(*) as claim_count,
    count(distinct c.parcel_id) as parcel_count,
    cast(sum(c.open_cents) as bigint) as open_cents,
    min(c.claim_due_on) as claim_due_on,
    count(*) - count(c.claim_due_on) as undated_claim_count,
    min(case when c.claim_due_on is null then c.opened_on end) as undated_opened_on
from marts.claim_deadlines as c
where c.open_cents > 0 and coalesce(c.is_in_time, true)
group by c.claim_task
order by c.claim_task
