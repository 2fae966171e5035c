-- One row per packing method: its entry in force, and the shop's wage.
select
    m.packing_method, m.material_cents, m.pack_minutes, m.clearance_in,
    s.wage_cents_per_hour
from core.packing_methods as m
inner join core.current_packing_methods as n
    on n.packing_method = m.packing_method and n.effective_from = m.effective_from
cross join shop.settings as s
order by m.packing_method
