-- One row per packing method and period of validity. Steps that an entry leaves blank stand as the last one stated them.
select
    m.packing_method, m.effective_from,
    lead(m.effective_from) over (partition by m.packing_method order by m.effective_from) as effective_before,
    m.material_cents, m.pack_minutes, m.clearance_in,
    {last_stated packing_steps in m by packing_method}
from accepted.packing_methods as m
