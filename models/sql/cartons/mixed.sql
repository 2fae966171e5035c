-- One row per parcel of several sale lines whose item types are all known: its goods as one text.
-- `goods_rank` numbers the texts. Where all its pieces are of one item type, the parcel is like one of a single line.
with lines as (
    select
        l.parcel_id,
        l.item_type,
        cast(sum(l.packed_quantity) as bigint) as packed_quantity
    from core.parcel_lines as l
    inner join cartons.recent as p on p.parcel_id = l.parcel_id and p.line_count > 1
    group by l.parcel_id, l.item_type
),

gathered as (
    select
        l.parcel_id,
        string_agg(l.item_type || chr(31) || cast(l.packed_quantity as varchar), chr(30) order by l.item_type) as goods,
        case when count(*) = 1 then min(l.item_type) end as item_type,
        cast(sum(l.packed_quantity) as bigint) as piece_count,
        bool_and(t.item_type is not null) as is_known
    from lines as l
    left join accepted.item_types as t on t.item_type = l.item_type
    group by l.parcel_id
)

select
    g.parcel_id,
    g.goods,
    g.item_type,
    g.piece_count,
    dense_rank() over (order by g.goods) as goods_rank
from gathered as g
where g.is_known
