-- The pieces of the bench log, but for parcels without a day, and of parcels whose sale another record names, are those of
-- the item types.
select
    w.piece_count as packed_count,
    l.piece_count as labelled_count,
    p.piece_count as parcel_piece_count,
    i.piece_count as item_type_piece_count
from (
    select coalesce(cast(sum(b.packed_quantity) as bigint), 0) as piece_count
    from accepted.weights as b
    left join core.undated_parcels as u on u.parcel_id = b.parcel_id
    where u.parcel_id is null
) as w
cross join (
    select coalesce(cast(sum(k.piece_count) as bigint), 0) as piece_count
    from core.parcels as k
    inner join (select distinct n.parcel_id from core.labelled_parcels as n) as n on n.parcel_id = k.parcel_id
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
