-- One row per parcel of the months judged, by the number that its other services have: what its tariff expects, or what keeps
-- it from being compared with any of them.
select p.parcel_number, p.parcel_id, p.zone, p.expected_cents, p.not_compared
from services.parcels as p
