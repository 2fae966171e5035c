-- One row per parcel and sale line packed in it, with the line's own chargeable weight as the basis for sharing costs.
-- A parcel without lines of its own in the bench log holds the lines that the sale says went in it; where only the bench
-- log, a label or an invoice names the sale, every line of it but cancelled ones, less what the bench log has in other
-- parcels. Each piece counts once: where several parcels may hold a line's pieces, each has the same share of its weight
-- and of what was paid; the pieces are counted in them by turns, the next line's from the next parcel on. A piece of
-- unknown item type counts as one pound. A line whose title no rule knows counts as the parcel's class of size.
with benched as (
    select
        w.sale_id, w.line_number,
        cast(sum(w.packed_quantity) as bigint) as piece_count
    from accepted.weights as w
    left join core.undated_parcels as u on u.parcel_id = w.parcel_id
    where w.line_number is not null and u.parcel_id is null
    group by w.sale_id, w.line_number
),

labelled as (
    select
        c.parcel_id,
        l.sale_id, l.line_number,
        greatest(l.quantity - coalesce(b.piece_count, 0), 0) as left_count,
        l.sale_state,
        c.named_by = 'sale' as is_by_sale,
        s.parcel_id is not null as is_named,
        count(case when l.sale_state <> 'cancelled' then 1 end) over (partition by c.parcel_id, l.sale_id)
            as standing_count
    from core.labelled_parcels as c
    inner join core.sale_lines as l on l.sale_id = c.sale_id
    left join core.sale_parcels as s
        on s.parcel_id = c.parcel_id and s.sale_id = l.sale_id and s.line_number = l.line_number
    left join benched as b on b.sale_id = l.sale_id and b.line_number = l.line_number
    left join core.undated_parcels as u on u.parcel_id = c.parcel_id
    where u.parcel_id is null
),

possible as (
    select
        c.*,
        max(c.left_count) over (partition by c.parcel_id, c.sale_id) as most_left
    from labelled as c
    where case
        when c.is_by_sale then c.is_named
        else c.sale_state <> 'cancelled' or c.standing_count = 0
    end
),

-- Where nothing is left of a sale, a part was sent again, or a piece fills several cartons: then all its lines, of no piece.
holding as (
    select
        p.*,
        count(*) over (partition by p.sale_id, p.line_number) as holder_count,
        row_number() over (partition by p.sale_id, p.line_number order by p.parcel_id)
        + dense_rank() over (partition by p.sale_id order by p.line_number) - 2 as turn
    from possible as p
    where p.left_count > 0 or p.most_left = 0
),

packed as (
    select
        w.parcel_id, w.sale_id, w.line_number, w.packed_quantity,
        1000 * w.packed_quantity as paid_basis,
        true as is_content_known
    from accepted.weights as w
    left join core.undated_parcels as u on u.parcel_id = w.parcel_id
    where w.line_number is not null and u.parcel_id is null
    union all
    select
        h.parcel_id, h.sale_id, h.line_number,
        cast(
            floor(cast(h.left_count + h.holder_count - 1 - h.turn % h.holder_count as double) / h.holder_count) as bigint
        ) as packed_quantity,
        cast(ceil(cast(1000 * h.left_count as double) / h.holder_count) as bigint) as paid_basis,
        h.holder_count = 1 as is_content_known
    from holding as h
)

select
    p.parcel_id, p.sale_id, p.line_number,
    case when l.has_unknown_title then coalesce(z.size_class, 'unknown') else coalesce(l.item_type, 'unknown') end
        as item_type,
    coalesce(l.channel, 'unknown') as channel,
    l.destination_prefix,
    p.packed_quantity, p.paid_basis, p.is_content_known,
    l.quantity as line_quantity,
    greatest(
        1,
        cast(
            round(
                p.paid_basis * coalesce(
                    greatest(t.weight_lb, t.length_in * t.width_in * t.height_in / s.sharing_divisor_in3_per_lb),
                    1
                )
            ) as bigint
        )
    ) as cost_basis,
    count(*) over (partition by p.sale_id, p.line_number) as parcel_count
from packed as p
cross join shop.settings as s
left join core.sale_lines as l on l.sale_id = p.sale_id and l.line_number = p.line_number
left join core.size_classes as z on z.parcel_id = p.parcel_id
left join accepted.item_types as t on t.item_type = l.item_type
