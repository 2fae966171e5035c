-- The pieces of the bench log, and of parcels that only an invoice's label knows, are those of the item types.
select
    w.piece_count as packed_count,
    l.piece_count as labelled_count,
    p.piece_count as parcel_piece_count,
    i.piece_count as item_type_piece_count
from (
    select coalesce(cast(sum(b.packed_quantity) as bigint), 0) as piece_count
    from accepted.weights as b
) as w
cross join (
    select coalesce(cast(sum(case when k.has_bench_log then 0 else k.piece_count end) as bigint), 0) as piece_count
    from core.parcels as k
) as l
cross join (
    select coalesce(cast(sum(c.piece_count) as bigint), 0) as piece_count
    from marts.parcel_costs as c
) as p
cross join (
    select coalesce(cast(sum(t.piece_count) as bigint), 0) as piece_count
    from marts.item_type_costs as t
) as i
where p.piece_count <> w.piece_count + l.piece_count or i.piece_count <> p.piece_count
