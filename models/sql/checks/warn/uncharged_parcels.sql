-- Parcels shipped more than 45 days before the carrier's latest invoice that no invoice names.
select p.parcel_id, p.carrier, p.shipped_on
from core.parcels as p
inner join (
    select c.carrier, max(c.invoiced_on) as last_on
    from core.charge_lines as c
    group by c.carrier
) as i on i.carrier = p.carrier
where not p.has_charges and p.shipped_on < cast(i.last_on - interval '45' day as date)
