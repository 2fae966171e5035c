-- One row: what the records say of the parcel, and the tariff of its day; a day of invoice or claim is none of shipping. Nothing typed for a label is taken as measured.
select
    p.parcel_id,
    case when p.dated_by in ('shipping', 'label') then p.shipped_on end as shipped_on,
    p.carrier, p.service, p.zone, p.item_type, p.carton_code, p.cut_height_in, p.packing_method, p.length_in,
    p.width_in, p.height_in, p.scale_weight_lb, p.declared_value_cents,
    l.insured_cents,
    p.carton_cents, p.material_cents, p.labour_cents, p.has_bench_log,
    m.clearance_in,
    y.tariff_key,
    t.tariff_code,
    r.expected_cents,
    c.billed_cents
from core.parcels as p
left join core.labels as l on l.parcel_id = p.parcel_id and not l.is_voided
left join core.tariff_days as y
    on y.carrier = p.carrier and y.service = coalesce(p.service, '') and y.shipped_on = p.shipped_on
left join shop.tariffs as t on t.tariff_key = y.tariff_key
left join rating.rated as r on r.request_id = p.parcel_id
left join marts.parcel_costs as c on c.parcel_id = p.parcel_id and p.has_charges
left join core.packing_methods as m on m.packing_method = p.packing_method and {valid m on p.shipped_on}
where p.parcel_id = ?
