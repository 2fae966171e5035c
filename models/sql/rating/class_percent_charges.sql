-- One row per price class and surcharge row that takes a share of what comes before it, or an amount by billed weight;
-- less its discount.
with shares as (
    select
        b.price_class_key,
        s.surcharge_key,
        c.alternative,
        s.surcharge, s.at_least_cents, s.at_most_cents,
        case
            when s.per_weight_step_milli is not null
                then {amount ceil(
                    greatest(b.billed_weight_milli - s.per_weight_above_milli, 0) / s.per_weight_step_milli
                ) * s.per_weight_millicents * 1000 by s.}
            else {amount (
                case when s.is_of_base then b.price_cents + b.discount_cents else 0 end
                + case when s.is_of_surcharge then b.fixed_cents else 0 end
            ) * s.share_millionths by s.}
        end as full_cents
    from rating.surcharge_class_charges as c
    inner join shop.tariff_surcharges as s on s.surcharge_key = c.surcharge_key
    inner join rating.class_base_prices as b on b.surcharge_class_key = c.surcharge_class_key
    where (s.share_millionths is not null or s.per_weight_step_milli is not null) and b.lacking is null
),

bounded as (
    select
        s.*,
        greatest(
            least(s.full_cents, coalesce(s.at_most_cents, s.full_cents)), coalesce(s.at_least_cents, 0)
        ) as bounded_cents
    from shares as s
)

select
    b.price_class_key, b.surcharge_key, b.alternative,
    b.bounded_cents - coalesce(
        least({amount b.bounded_cents * d.share_millionths by d.}, greatest(b.bounded_cents - d.minimum_charge_cents, 0)), 0
    ) as amount_cents
from bounded as b
inner join rating.price_classes as c on c.price_class_key = b.price_class_key
inner join shop.tariff_seasons as e on e.season_key = c.season_key
left join shop.tariff_discounts as d
    on d.service_key = c.service_key
    and d.zone = c.zone
    and d.target_kind = 'surcharge'
    and d.target_surcharge = b.surcharge
    and {counts d on e.valid_from}
