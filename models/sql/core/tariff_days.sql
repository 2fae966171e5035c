-- One row per carrier, service (empty where unknown) and day of shipping: the tariff that holds on it.
-- Of several the one that states the service, then the latest. `ships_from` is empty where it does not say.
with asked as (
    select distinct
        p.carrier,
        coalesce(p.service, '') as service,
        p.shipped_on
    from core.parcels as p
),

ranked as (
    select
        a.carrier, a.service, a.shipped_on,
        t.tariff_key,
        coalesce(t.ships_from, '') as ships_from,
        row_number() over (
            partition by a.carrier, a.service, a.shipped_on
            order by case when s.service_key is null then 1 else 0 end, t.effective_from desc, t.tariff_key desc
        ) as place
    from asked as a
    inner join shop.tariffs as t on t.carrier = a.carrier and {in_force t on a.shipped_on}
    left join shop.tariff_services as s on s.tariff_key = t.tariff_key and s.service = a.service
)

select r.carrier, r.service, r.shipped_on, r.tariff_key, r.ships_from
from ranked as r
where r.place = 1
