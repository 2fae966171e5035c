-- Charge codes that neither the invoice, the charge-code map nor the shop gives a kind; `dunnage charges` asks what they are.
select c.carrier, c.charge_code, count(*) as line_count, cast(sum(c.amount_cents) as bigint) as amount_cents
from core.charge_lines as c
where c.charge_kind = 'unmapped'
group by c.carrier, c.charge_code
