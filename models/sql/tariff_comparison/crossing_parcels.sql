-- One row per parcel and surcharge whose threshold it crosses, the greatest changes first.
select
    c.parcel_id, c.surcharge,
    case when c.before_cents = 0 then 'newly charged' else 'no longer charged' end as crossing,
    p.item_type, p.zone,
    r.shipped_on, r.length_in, r.width_in, r.height_in, r.scale_weight_lb,
    c.after_cents - c.before_cents as change_cents
from whatif.charged as c
inner join whatif.pairs as p on p.parcel_id = c.parcel_id
inner join rating.requests as r on r.request_id = c.parcel_id
where p.is_compared and (c.before_cents = 0 or c.after_cents = 0) and c.before_cents <> c.after_cents
order by abs(c.after_cents - c.before_cents) desc, c.parcel_id, c.surcharge
