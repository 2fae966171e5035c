-- One row per label, or sale without one, that the bench log does not know, of the last days that labels and sales reach to.
with held as (
    select s.parcel_id, s.sale_id, s.line_number
    from core.sale_parcels as s
    union
    select
        l.parcel_id, l.sale_id,
        k.line_number
    from core.labels as l
    inner join core.sale_lines as k on k.sale_id = l.sale_id
    left join core.sale_parcels as s on s.parcel_id = l.parcel_id
    where s.parcel_id is null and not l.is_voided
),

loose as (
    select k.sale_id, k.line_number
    from core.sale_lines as k
    left join held as h on h.sale_id = k.sale_id
    left join accepted.weights as w on w.sale_id = k.sale_id
    where h.sale_id is null and w.sale_id is null
),

packed as (
    select h.parcel_id, h.sale_id, h.line_number
    from held as h
    union all
    select
        cast(null as varchar) as parcel_id,
        l.sale_id, l.line_number
    from loose as l
),

lines as (
    select
        p.parcel_id, p.sale_id,
        k.item_type,
        cast(k.sold_at as date) as known_on,
        k.quantity
    from packed as p
    inner join core.sale_lines as k on k.sale_id = p.sale_id and k.line_number = p.line_number
    where k.sale_state = 'sold'
),

goods as (
    select
        l.parcel_id, l.sale_id, l.item_type,
        max(l.known_on) as known_on,
        cast(sum(l.quantity) as bigint) as piece_count
    from lines as l
    group by l.parcel_id, l.sale_id, l.item_type
),

-- A label holds the goods of all its sales; without one each sale stands by itself.
known as (
    select
        g.parcel_id,
        string_agg(distinct g.sale_id, ', ' order by g.sale_id) as sale_id,
        string_agg(cast(g.piece_count as varchar) || ' ' || g.item_type, ', ' order by g.sale_id, g.item_type) as goods,
        case when count(distinct g.item_type) = 1 then max(g.item_type) end as only_item_type,
        max(g.known_on) as known_on
    from goods as g
    group by g.parcel_id, case when g.parcel_id is null then g.sale_id end
    union all
    select
        l.parcel_id, l.sale_id,
        cast(null as varchar) as goods,
        cast(null as varchar) as only_item_type,
        l.bought_on as known_on
    from core.labels as l
    left join held as h on h.parcel_id = l.parcel_id
    where not l.is_voided and h.parcel_id is null
)

select k.known_on, k.parcel_id, k.sale_id, k.goods, k.only_item_type
from known as k
cross join (select max(n.known_on) as last_on from known as n) as t
left join (select distinct w.parcel_id from accepted.weights as w) as b on b.parcel_id = k.parcel_id
where b.parcel_id is null and k.known_on > cast(t.last_on - $days * interval '1' day as date)
order by k.known_on, k.sale_id, k.parcel_id
