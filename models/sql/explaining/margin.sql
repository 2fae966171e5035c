-- One row, or none: the parcel's margin, what made it up, and which of its records are there.
select
    c.parcel_id,
    {each parts: c.$_cents},
    c.margin_cents,
    p.has_charges, p.has_bench_log,
    p.line_count > 0 and p.item_type <> 'unknown' as is_sale_known
from marts.parcel_costs as c
inner join core.parcels as p on p.parcel_id = c.parcel_id
where c.parcel_id = ?
