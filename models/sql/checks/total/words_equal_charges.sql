-- The words of invoices have every accepted charge line and its cents.
select
    a.line_count as charge_line_count,
    w.line_count as word_line_count,
    a.amount_cents as charged_cents,
    w.amount_cents as word_cents
from (
    select count(*) as line_count, coalesce(cast(sum(c.amount_cents) as bigint), 0) as amount_cents
    from accepted.charges as c
) as a
cross join (
    select
        coalesce(cast(sum(t.line_count) as bigint), 0) as line_count,
        coalesce(cast(sum(t.amount_cents) as bigint), 0) as amount_cents
    from marts.charge_word_costs as t
) as w
where a.line_count <> w.line_count or a.amount_cents <> w.amount_cents
