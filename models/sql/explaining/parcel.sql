-- One row: what is known of the parcel, what the tariff makes of it, what was billed before later corrections.
select
    r.length_in, r.width_in, r.height_in, r.scale_weight_lb, r.sides_source, r.zone,
    z.zone_source, z.learned_prefix,
    t.agreeing_count, t.zone_bill_count,
    d.*,
    c.learned_first_on, c.learned_last_on, c.bill_count, c.left_out_error_cents,
    i.interval_cents,
    s.shipment_id, s.parcel_count,
    h.shipment_lacking,
    (
        select sum(e.amount_cents)
        from core.shipment_charges as e
        where e.parcel_id = h.parcel_id
    ) as shipment_expected_cents,
    (
        select sum(e.base_cents + e.surcharge_cents + e.fuel_cents + e.unmapped_cents)
        from core.billed_parcels as e
        inner join core.shipment_parcels as o on o.parcel_id = e.parcel_id
        where o.carrier = h.carrier and o.shipment_id = h.shipment_id
    ) as shipment_billed_cents,
    b.base_cents + b.surcharge_cents + b.fuel_cents + b.unmapped_cents + case
        when d.tax_cents > 0
            then coalesce(
                (
                    select sum(t.amount_cents)
                    from core.charge_lines as t
                    where t.parcel_id = r.request_id and t.charge_kind = 'tax'
                ), 0
            )
        else coalesce(d.tax_cents, 0)
    end as billed_cents
from rating.requests as r
inner join rating.rated as d on d.request_id = r.request_id
left join core.billed_parcels as b on b.parcel_id = r.request_id
left join core.shipment_parcels as s on s.parcel_id = r.request_id
left join core.shipments as h on h.carrier = s.carrier and h.shipment_id = s.shipment_id
left join core.parcel_zones as z on z.parcel_id = r.request_id
left join core.learned_zones as t
    on t.carrier = r.carrier
    and t.service = r.service
    and t.ships_from = z.ships_from
    and t.destination_prefix = z.learned_prefix
left join analysis.rate_curves as c
    on c.tariff_code = d.tariff_code and c.service = r.service and c.zone = r.zone and c.is_in_use
left join rating.priced as q on q.request_id = r.request_id
left join rating.lanes as n on n.lane_key = q.lane_key
left join shop.tariff_prices as i
    on i.service_key = n.service_key
    and i.zone = n.priced_zone
    and i.price_size = ''
    and i.weight_milli = cast(round(d.billed_weight * 1000) as bigint)
where r.request_id = ?
