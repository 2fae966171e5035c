-- One row per word of what a carrier bills beside the base price, tax and credits: what it bills most often first.
select case when l.charge_kind = 'base' then 'discount on the base price' else coalesce(l.surcharge, l.charge_code) end
    as charge_word
from core.charge_lines as l
inner join core.parcels as p on p.parcel_id = l.parcel_id
where
    l.charge_kind not in ('tax', 'credit')
    and (l.charge_kind <> 'base' or l.amount_cents < 0)
    and l.carrier = ?
    and coalesce(l.shipped_on, p.shipped_on) >= ?
    and coalesce(l.shipped_on, p.shipped_on) <= ?
group by case when l.charge_kind = 'base' then 'discount on the base price' else coalesce(l.surcharge, l.charge_code) end
order by count(*) desc, charge_word
