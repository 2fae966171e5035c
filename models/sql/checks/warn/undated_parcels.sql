-- Parcels of the bench log without a day that no invoice, label or claim knows: they are in no month yet.
select u.parcel_id
from core.undated_parcels as u
