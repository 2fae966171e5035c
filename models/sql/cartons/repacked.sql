-- One row per sampled parcel of an item type whose packing method should change and carton: with sign 1 the best one of the
-- better method and, where that needs less room, with sign -1 that of the present one, where its gain begins. What both
-- cost is compared on every service by their difference. Of methods of equal room the carton is the same.
with advised as (
    select
        d.item_type, d.current_method, d.best_method, d.yearly_parcel_count,
        -row_number() over (order by d.item_type) as change_key
    from analysis.packing_decision as d
    where d.is_best and not d.is_current and d.packing_verdict = 'use' and d.is_carriage_rated
),

compared as (
    select
        a.*,
        n.parcel_id,
        m.clearance_in < n.clearance_in as is_less,
        count(*) over (partition by a.change_key) as sampled_parcel_count
    from advised as a
    inner join analysis.method_carriage as m on m.item_type = a.item_type and m.packing_method = a.best_method
    inner join analysis.method_carriage as n on n.parcel_id = m.parcel_id and n.packing_method = a.current_method
    where m.clearance_in <> n.clearance_in and m.postage_cents is not null and n.postage_cents is not null
),

carton as (
    select c.*, c.best_method as packing_method, 1 as sign
    from compared as c
    union all
    select c.*, c.current_method as packing_method, -1 as sign
    from compared as c
    where c.is_less
)

select
    c.change_key, c.item_type, c.current_method, c.best_method, c.yearly_parcel_count, c.sampled_parcel_count,
    c.parcel_id, c.sign,
    m.length_in, m.width_in, m.height_in, m.packed_weight_lb, m.postage_cents
from carton as c
inner join analysis.method_carriage as m on m.parcel_id = c.parcel_id and m.packing_method = c.packing_method
