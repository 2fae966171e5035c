-- One row per carrier, charge code and amount of later corrections upwards.
-- A code whose corrections mostly come to one same amount is a fee, not a correction.
with counted as (
    select
        c.carrier, c.charge_code, c.amount_cents,
        cast(sum(c.line_count) as bigint) as amount_count
    from core.correction_counts as c
    group by c.carrier, c.charge_code, c.amount_cents
),

compared as (
    select
        c.carrier, c.charge_code, c.amount_cents, c.amount_count,
        cast(sum(c.amount_count) over (partition by c.carrier, c.charge_code) as bigint) as code_count
    from counted as c
)

select
    c.carrier, c.charge_code, c.amount_cents,
    c.amount_count >= 3 and c.amount_count * 2 >= c.code_count as is_fixed_fee
from compared as c
