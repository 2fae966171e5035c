-- Parcels with a return and a claim that states a cost of the return: the way back may be counted twice. Leave it out of one.
select r.return_id, c.claim_id, r.parcel_id
from accepted.returns as r
inner join core.claims as c on c.parcel_id = r.parcel_id
where c.return_cost_cents > 0 and r.return_carriage_cents > 0
