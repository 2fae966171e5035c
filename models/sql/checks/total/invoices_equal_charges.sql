-- The invoices, and the words of invoices, have every accepted charge line and its cents.
select
    t.mart,
    a.line_count as charge_line_count,
    t.line_count,
    a.amount_cents as charged_cents,
    t.amount_cents
from (
    select count(*) as line_count, coalesce(cast(sum(c.amount_cents) as bigint), 0) as amount_cents
    from accepted.charges as c
) as a
cross join (
    {in_each marts.invoice_totals, marts.charge_word_costs:
    select
        '$' as mart,
        coalesce(cast(sum(t.line_count) as bigint), 0) as line_count,
        coalesce(cast(sum(t.amount_cents) as bigint), 0) as amount_cents
    from $ as t}
) as t
where a.line_count <> t.line_count or a.amount_cents <> t.amount_cents
