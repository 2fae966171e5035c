-- Parcels shipped after the last day of delivery that the marketplace promised the buyer.
select l.parcel_id, p.shipped_on, min(s.deliver_by) as deliver_by
from core.sale_lines as s
inner join core.packed_lines as l on l.sale_id = s.sale_id and l.line_number = s.line_number
inner join core.parcels as p on p.parcel_id = l.parcel_id
where s.deliver_by < p.shipped_on and p.dated_by in ('shipping', 'label') and s.sale_state <> 'cancelled'
    and (p.has_bench_log or p.has_charges)
group by l.parcel_id, p.shipped_on
