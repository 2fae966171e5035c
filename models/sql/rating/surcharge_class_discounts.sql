-- One row per surcharge class and discount on its fixed surcharges; the amount is not positive.
with fixed as (
    select
        c.surcharge_class_key,
        s.surcharge,
        cast(sum(c.fixed_cents) as bigint) as full_cents
    from rating.surcharge_class_charges as c
    inner join shop.tariff_surcharges as s on s.surcharge_key = c.surcharge_key
    where c.fixed_cents is not null
    group by c.surcharge_class_key, s.surcharge
)

select
    f.surcharge_class_key,
    f.surcharge,
    -least(
        {amount f.full_cents * d.share_millionths by d.},
        greatest(f.full_cents - d.minimum_charge_cents, 0)
    ) as amount_cents
from fixed as f
inner join rating.surcharge_classes as c on c.surcharge_class_key = f.surcharge_class_key
inner join shop.tariff_seasons as e on e.season_key = c.season_key
inner join shop.tariff_discounts as d
    on d.service_key = c.service_key
    and d.zone = c.zone
    and d.target_kind = 'surcharge'
    and d.target_surcharge = f.surcharge
    and d.valid_from <= e.valid_from
    and d.valid_to >= e.valid_from
