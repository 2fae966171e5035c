-- One row per contents, item type and packing method: what such parcels weigh, and the method's latest costs.
select
    c.contents_key,
    p.item_type,
    coalesce(p.packing_method, 'unknown') as packing_method,
    percentile_cont(0.5) within group (order by p.scale_weight_lb) as expected_weight_lb,
    {max m.clearance_in, m.material_cents, m.pack_minutes, m.packing_steps, t.turns}
from cartons.parcels as p
inner join cartons.contents as c on c.packed_contents_key = p.packed_contents_key
left join accepted.item_types as t on t.item_type = p.item_type
left join core.current_packing_methods as n on n.packing_method = p.packing_method
left join core.packing_methods as m on m.packing_method = n.packing_method and m.effective_from = n.effective_from
group by c.contents_key, p.item_type, coalesce(p.packing_method, 'unknown')
