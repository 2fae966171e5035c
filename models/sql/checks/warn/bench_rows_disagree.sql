-- Parcels of several sale lines whose bench rows say different things of the same parcel; the greater value is used.
select d.parcel_id
from core.parcel_doubts as d
where d.doubt = 'bench rows disagree'
