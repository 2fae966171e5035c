-- One row per cause with decided disputes: how many were won and lost.
select
    d.difference_class,
    count(case when d.dispute_state = 'won' then 1 end) as won_count,
    count(case when d.dispute_state = 'lost' then 1 end) as lost_count
from marts.billing_disputes as d
where d.dispute_state in ('won', 'lost')
group by d.difference_class
order by d.difference_class
