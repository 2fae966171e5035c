-- One row per carrier and word of its invoices of unknown kind: lines and cents, the most money first.
select
    c.carrier, c.charge_code,
    count(*) as line_count,
    cast(sum(c.amount_cents) as bigint) as amount_cents
from accepted.charges as c
left join accepted.charge_codes as m on m.carrier = c.carrier and m.charge_code = c.charge_code
where c.charge_kind is null and m.charge_kind is null
group by c.carrier, c.charge_code
order by abs(sum(c.amount_cents)) desc, c.carrier, c.charge_code
