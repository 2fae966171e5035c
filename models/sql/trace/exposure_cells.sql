-- The parcels behind marts.exposure_cells: those with a claim.
select p.shipped_on, p.shipped_month, p.item_type, coalesce(p.packing_method, 'unknown') as packing_method, p.carrier,
    coalesce(p.service, 'unknown') as service, c.claim_cause, c.parcel_id, c.loss_cents as amount_cents
from core.claims as c
inner join core.parcels as p on p.parcel_id = c.parcel_id
