-- One row per parcel of the bench log whose day nothing says: neither its own rows, nor an invoice, a label or a claim.
with noted as (
    select
        w.parcel_id,
        max(w.shipped_on) as shipped_on
    from accepted.weights as w
    inner join (select distinct n.parcel_id from accepted.weights as n where n.shipped_on is null) as u
        on u.parcel_id = w.parcel_id
    group by w.parcel_id
)

select n.parcel_id
from noted as n
left join core.charge_lines as c on c.parcel_id = n.parcel_id
left join accepted.claims as m on m.parcel_id = n.parcel_id
left join accepted.labels as l on l.parcel_id = n.parcel_id and not coalesce(l.is_voided, false)
where n.shipped_on is null and c.parcel_id is null and m.parcel_id is null and l.parcel_id is null
