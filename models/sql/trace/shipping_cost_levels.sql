-- The parcels behind marts.shipping_cost_levels: one piece each, with a base charge.
select c.shipped_month, c.item_type, coalesce(z.zone_band, 'unknown') as zone_band, c.carrier, c.parcel_id,
    {sum costs: c.$_cents} - c.damage_net_cents as amount_cents
from marts.parcel_costs as c
inner join core.parcels as p on p.parcel_id = c.parcel_id
left join core.zone_bands as z on z.carrier = p.carrier and z.zone = coalesce(p.zone, 'unknown')
where p.piece_count = 1 and c.base_cents <> 0
