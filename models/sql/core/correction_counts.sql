-- One row per month of shipping, carrier, charge code and amount of later corrections upwards: how many there were.
select
    c.shipped_month, c.carrier, c.charge_code, c.amount_cents,
    count(*) as line_count
from core.upward_adjustments as c
group by c.shipped_month, c.carrier, c.charge_code, c.amount_cents
