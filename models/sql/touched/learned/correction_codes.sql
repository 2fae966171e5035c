-- One row per parcel with a correction of a code and amount that now counts as a fee, or no longer.
with differing as (
    (
        select n.carrier, n.charge_code, n.amount_cents, n.is_fixed_fee from core.correction_codes as n
        except
        select b.carrier, b.charge_code, b.amount_cents, b.is_fixed_fee from history.core.correction_codes as b
    )
    union
    (
        select b.carrier, b.charge_code, b.amount_cents, b.is_fixed_fee from history.core.correction_codes as b
        except
        select n.carrier, n.charge_code, n.amount_cents, n.is_fixed_fee from core.correction_codes as n
    )
)

select distinct c.parcel_id
from history.core.charge_lines as c
inner join differing as d
    on d.carrier = c.carrier and d.charge_code = c.charge_code and d.amount_cents = c.amount_cents
where c.charge_kind = 'adjustment' and not c.is_account
