-- The money of marts.parcel_costs is the money of the invoices, to the cent.
select
    a.total as charged_cents,
    c.total as costed_cents
from (select coalesce(cast(sum(g.amount_cents) as bigint), 0) as total from accepted.charges as g) as a
cross join (select coalesce(cast(sum(p.billed_cents) as bigint), 0) as total from marts.parcel_costs as p) as c
where a.total <> c.total
