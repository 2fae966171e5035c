-- One row per carrier and day of shipping: the tariff that holds on it, the latest where two overlap.
with asked as (
    select distinct
        p.carrier,
        p.shipped_on
    from core.parcels as p
),

ranked as (
    select
        a.carrier,
        a.shipped_on,
        t.tariff_key,
        row_number() over (
            partition by a.carrier, a.shipped_on order by t.effective_from desc, t.tariff_key desc
        ) as place
    from asked as a
    inner join shop.tariffs as t
        on t.carrier = a.carrier
        and {in_force t on a.shipped_on}
)

select
    r.carrier,
    r.shipped_on,
    r.tariff_key
from ranked as r
where r.place = 1
