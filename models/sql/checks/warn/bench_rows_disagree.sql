-- Parcels of several sale lines whose bench rows say different things of the same parcel; the greater value is used.
select w.parcel_id
from accepted.weights as w
inner join core.parcels as p on p.parcel_id = w.parcel_id
where p.line_count > 1
group by w.parcel_id
having
    min(w.shipped_on) <> max(w.shipped_on)
    or min(w.carrier) <> max(w.carrier)
    or min(w.service) <> max(w.service)
    or min(w.carton_code) <> max(w.carton_code)
    or min(w.packing_method) <> max(w.packing_method)
    or min(w.scale_weight_lb) <> max(w.scale_weight_lb)
    or min(w.length_in) <> max(w.length_in)
