-- One row per parcel and sale line packed in it, with the line's own chargeable weight as the basis for sharing costs.
-- A parcel without lines of its own in the bench log holds the lines that the sale says went in it; where only the bench log,
-- a label or an invoice names the sale, every line of it but cancelled ones. A piece of unknown item type counts as one pound. A line
-- whose title no rule knows counts as the parcel's class of size.
with labelled as (
    select
        c.parcel_id,
        l.sale_id,
        l.line_number,
        l.quantity,
        l.sale_state,
        c.named_by = 'sale' as is_by_sale,
        s.parcel_id is not null as is_named,
        count(case when l.sale_state <> 'cancelled' then 1 end) over (partition by c.parcel_id, l.sale_id)
            as standing_count
    from core.labelled_parcels as c
    inner join core.sale_lines as l on l.sale_id = c.sale_id
    left join core.sale_parcels as s
        on s.parcel_id = c.parcel_id and s.sale_id = l.sale_id and s.line_number = l.line_number
),

packed as (
    select
        w.parcel_id,
        w.sale_id,
        w.line_number,
        w.packed_quantity
    from accepted.weights as w
    left join core.undated_parcels as u on u.parcel_id = w.parcel_id
    where w.line_number is not null and u.parcel_id is null
    union all
    select
        c.parcel_id,
        c.sale_id,
        c.line_number,
        c.quantity as packed_quantity
    from labelled as c
    where case
        when c.is_by_sale then c.is_named
        else c.sale_state <> 'cancelled' or c.standing_count = 0
    end
)

select
    p.parcel_id,
    p.sale_id,
    p.line_number,
    case when l.has_unknown_title then coalesce(z.size_class, 'unknown') else coalesce(l.item_type, 'unknown') end
        as item_type,
    coalesce(l.channel, 'unknown') as channel,
    p.packed_quantity,
    l.quantity as line_quantity,
    greatest(
        1,
        cast(
            round(
                1000 * p.packed_quantity * coalesce(
                    greatest(
                        t.weight_lb, t.length_in * t.width_in * t.height_in / s.sharing_divisor_in3_per_lb
                    ),
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
