-- Charge codes that neither the invoice nor the charge-code map gives a kind.
select c.carrier, c.charge_code, count(*) as line_count, cast(sum(c.amount_cents) as bigint) as amount_cents
from core.charge_lines as c
where c.charge_kind = 'unmapped'
group by c.carrier, c.charge_code
