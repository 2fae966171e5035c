-- One row per packing method: its entry valid now, and the shop's wage.
select
    m.packing_method, m.material_cents, m.pack_minutes, m.clearance_in,
    s.wage_cents_per_hour
from core.packing_methods as m
cross join shop.settings as s
where m.effective_before is null
order by m.packing_method
