-- One row per parcel with a label, a quoted postage and a base charge: quoted against all that was billed.
-- Parcels of a shipment of several are left out: what is billed for it is no bill of one label.
-- Carriers round weights up to the next pound and sides to the next inch; less than that is no difference.
select
    l.parcel_id,
    c.shipped_month, c.item_type,
    l.quoted_cents,
    c.billed_cents,
    c.billed_cents - l.quoted_cents as above_quote_cents,
    coalesce(b.billed_weight_lb >= l.typed_weight_lb + 1, false) as is_heavier,
    coalesce(b.billed_length_in >= l.typed_length_in + 1, false) as is_larger
from core.labels as l
inner join core.billed_parcels as b on b.parcel_id = l.parcel_id
inner join marts.parcel_costs as c on c.parcel_id = l.parcel_id
left join core.shipment_parcels as s on s.parcel_id = l.parcel_id
where s.parcel_id is null and not l.is_voided and l.quoted_cents is not null
