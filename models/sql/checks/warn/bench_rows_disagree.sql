-- Parcels of several sale lines whose bench rows say different things of the same parcel; the greater value is used.
select w.parcel_id
from accepted.weights as w
inner join core.parcels as p on p.parcel_id = w.parcel_id
where p.line_count > 1
group by w.parcel_id
having
    count(distinct w.shipped_on) > 1
    or count(distinct w.carrier) > 1
    or count(distinct w.service) > 1
    or count(distinct w.carton_code) > 1
    or count(distinct w.packing_method) > 1
    or count(distinct w.scale_weight_lb) > 1
    or count(distinct w.length_in) > 1
