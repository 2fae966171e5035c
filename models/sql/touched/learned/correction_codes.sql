-- One row per parcel with a correction of a code and amount that now counts as a fee, or no longer.
with differing as (
    select l.carrier, l.charge_code, l.amount_cents
    from (select n.* from core.correction_codes as n union all select b.* from history.core.correction_codes as b) as l
    group by l.carrier, l.charge_code, l.amount_cents, l.is_fixed_fee
    having count(*) = 1
)

select distinct c.parcel_id
from history.core.charge_lines as c
inner join differing as d on d.carrier = c.carrier and d.charge_code = c.charge_code and d.amount_cents = c.amount_cents
where c.charge_kind = 'adjustment' and not c.is_account
