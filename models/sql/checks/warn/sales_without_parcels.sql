-- Sale lines sent more than 45 days before the latest invoice whose parcel neither the bench log nor an invoice knows: their
-- income is in no month.
select s.parcel_id, s.sale_id, s.line_number
from core.sale_parcels as s
inner join core.sale_lines as l on l.sale_id = s.sale_id and l.line_number = s.line_number
inner join (select max(c.invoiced_on) as last_on from core.charge_lines as c) as i
    on cast(l.sold_at as date) < cast(i.last_on - interval '45' day as date)
left join core.parcels as p on p.parcel_id = s.parcel_id
where l.sale_state <> 'cancelled' and p.parcel_id is null
