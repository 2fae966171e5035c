-- One row: claims for damage or loss that a carrier decided.
select
    count(case when c.claim_state in ('paid', 'paid in part') then 1 end) as paid_count,
    count(case when c.claim_state = 'refused' then 1 end) as refused_count
from marts.claim_losses as c
where c.claim_cause in ('damage', 'loss')
