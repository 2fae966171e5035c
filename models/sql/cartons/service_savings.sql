-- One row per month of shipping and item type with parcels whose carton was judged and that were compared with another service: those
-- that one would have taken for less, beyond what learned prices may be off, and what the cheapest saves.
with best as (
    select
        s.parcel_number,
        max(s.saving_cents) as saving_cents
    from analysis.parcel_services as s
    where s.other_cents is not null
    group by s.parcel_number
)

select
    p.shipped_month, p.item_type,
    count(case when b.saving_cents > 0 then 1 end) as better_parcel_count,
    cast(sum(b.saving_cents) as bigint) as saving_cents
from cartons.parcels as p
inner join analysis.compared_parcels as c on c.parcel_id = p.parcel_id
inner join best as b on b.parcel_number = c.parcel_number
group by p.shipped_month, p.item_type
