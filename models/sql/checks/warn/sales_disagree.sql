-- Parcels whose records name different sales: the bench log counts first, then the sale, the label, the invoice.
select d.parcel_id
from core.parcel_doubts as d
where d.doubt = 'sales disagree'
