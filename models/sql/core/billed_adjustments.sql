-- One row per later correction upwards: what it says it corrects, and what the tariff would take by it.
select
    a.carrier,
    a.invoice_number,
    a.line_number,
    a.invoiced_on,
    a.parcel_id,
    a.charge_code,
    a.amount_cents,
    a.billed_weight_lb,
    a.billed_length_in,
    a.billed_width_in,
    a.billed_height_in,
    b.invoice_number as corrected_invoice_number,
    b.line_number as corrected_line_number,
    m.expected_cents - b.base_cents - b.surcharge_cents - b.fuel_cents as due_cents,
    case
        when
            a.billed_length_in is not null
            and (
                d.longest_side <> o.longest_side or d.second_side <> o.second_side or d.shortest_side <> o.shortest_side
            ) then 'sides re-measured'
        when a.billed_length_in is null and a.billed_weight_lb is not null then 'weight re-measured'
        when f.is_fixed_fee then 'fixed fee'
        else 'adjustment without cause'
    end as difference_class
from core.upward_adjustments as a
left join core.billed_parcels as b on b.parcel_id = a.parcel_id
left join rating.rated as o on o.request_id = a.parcel_id
left join rechecked.priced as m
    on m.request_id = a.parcel_id || '/' || a.invoice_number || '-' || cast(a.line_number as varchar)
left join rechecked.rated as d on d.request_id = m.request_id
left join core.correction_codes as f
    on f.carrier = a.carrier and f.charge_code = a.charge_code and f.amount_cents = a.amount_cents
