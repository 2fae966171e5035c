-- One row per month of shipping and item type; account fees stand as item type `account`.
-- A parcel that may hold goods of the type, of which no record says so, counts where their pieces do.
with summed as (
    select
        l.shipped_month, l.item_type,
        count(
            distinct case when l.item_type <> 'account fees' and (l.is_content_known or l.packed_quantity > 0) then l.parcel_id end
        ) as parcel_count,
        cast(sum(l.packed_quantity) as bigint) as piece_count,
        {each all: cast(sum(l.$_cents) as bigint) as $_cents}
    from marts.parcel_line_costs as l
    group by l.shipped_month, l.item_type
)

select
    s.*,
    case
        when s.piece_count > 0
            then cast(round(cast({sum costs: s.$_cents} as double) / s.piece_count) as bigint)
    end as cost_per_piece_cents,
    {mean s.margin_cents over s.parcel_count} as margin_per_parcel_cents
from summed as s
