-- One row per parcel without a bill: its carrier, day of shipping, and what its tariff expects.
select
    g.parcel_id,
    p.carrier, p.shipped_on,
    g.gap_cents as waiting_cents
from core.parcel_gaps as g
inner join core.parcels as p on p.parcel_id = g.parcel_id
where g.gap = 'parcels without a bill'
