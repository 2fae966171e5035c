-- One row per parcel of a shipment: the number of the shipment, and its first parcel.
-- The bench log or an invoice says so. Where an invoice alone knows the number, and of one label, parcels of the same
-- sale, day and service that no invoice names are of the shipment too: its bill may be the bill of all of them.
with invoiced as (
    select c.carrier, c.shipment_id, c.parcel_id
    from accepted.charges as c
    where c.shipment_id is not null
),

carriers as (
    select
        i.shipment_id,
        min(i.carrier) as carrier
    from invoiced as i
    group by i.shipment_id
),

alone as (
    select
        i.carrier, i.shipment_id,
        min(i.parcel_id) as parcel_id
    from invoiced as i
    group by i.carrier, i.shipment_id
    having count(distinct i.parcel_id) = 1 and min(i.parcel_id) <> i.shipment_id
),

unbilled as (
    select
        o.parcel_id,
        a.carrier, a.shipment_id
    from alone as a
    inner join accepted.weights as w on w.parcel_id = a.parcel_id and w.shipment_id is null
    inner join accepted.weights as o on {alike o, w in sale_id, shipped_on, carrier?, service?}
    left join accepted.charges as c on c.parcel_id = o.parcel_id
    where o.shipment_id is null and c.parcel_id is null
),

named as (
    select
        w.parcel_id,
        coalesce(w.carrier, k.carrier, 'unknown') as carrier,
        w.shipment_id
    from accepted.weights as w
    left join carriers as k on k.shipment_id = w.shipment_id
    where w.shipment_id is not null
    union
    select i.parcel_id, i.carrier, i.shipment_id
    from invoiced as i
    where i.parcel_id is not null
    union
    select u.parcel_id, u.carrier, u.shipment_id
    from unbilled as u
),

-- A parcel goes in one shipment, whatever later lines say of it.
placed as (
    select
        n.*,
        row_number() over (partition by n.parcel_id order by n.carrier, n.shipment_id) as place
    from named as n
)

select
    p.parcel_id, p.carrier, p.shipment_id,
    min(p.parcel_id) over (partition by p.carrier, p.shipment_id) as lead_parcel_id,
    count(*) over (partition by p.carrier, p.shipment_id) as parcel_count
from placed as p
where p.place = 1
