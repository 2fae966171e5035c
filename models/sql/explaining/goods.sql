-- One row per item type in the parcel, with the clearance of its packing method on that day.
select
    l.item_type,
    cast(sum(l.packed_quantity) as bigint) as packed_quantity,
    {max m.clearance_in, t.length_in},
    p.has_bench_log
from core.parcel_lines as l
inner join core.parcels as p on p.parcel_id = l.parcel_id
left join accepted.item_types as t on t.item_type = l.item_type
left join core.packing_methods as m on m.packing_method = p.packing_method and {valid m on p.shipped_on}
where l.parcel_id = ?
group by l.item_type, p.has_bench_log
order by l.item_type
