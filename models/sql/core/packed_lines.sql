-- One row per parcel and sale line packed in it, with the line's own chargeable weight as the basis for sharing costs.
-- A parcel that only an invoice knows holds every line of the sale that its label names.
-- A piece of unknown item type counts as one pound.
with packed as (
    select
        w.parcel_id,
        w.sale_id,
        w.line_number,
        w.packed_quantity
    from accepted.weights as w
    union all
    select
        c.parcel_id,
        l.sale_id,
        l.line_number,
        l.quantity as packed_quantity
    from core.labelled_parcels as c
    inner join core.sale_lines as l on l.sale_id = c.sale_id
)

select
    p.parcel_id,
    p.sale_id,
    p.line_number,
    coalesce(l.item_type, 'unknown') as item_type,
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
left join accepted.item_types as t on t.item_type = l.item_type
