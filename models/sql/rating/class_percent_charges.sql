-- One row per price class and surcharge row that takes a share of what comes before it.
with shares as (
    select
        b.price_class_key,
        s.surcharge_key,
        c.alternative,
        s.at_most_cents,
        cast(
            floor(
                (
                    (
                        case when s.is_of_base then b.price_cents + b.discount_cents else 0 end
                        + case when s.is_of_surcharge then b.fixed_cents else 0 end
                    ) * s.share_millionths
                    + 500000
                ) / 1000000
            ) as bigint
        ) as full_cents
    from rating.surcharge_class_charges as c
    inner join shop.tariff_surcharges as s on s.surcharge_key = c.surcharge_key
    inner join rating.class_base_prices as b on b.surcharge_class_key = c.surcharge_class_key
    where s.share_millionths is not null and b.lacking is null
)

select
    s.price_class_key,
    s.surcharge_key,
    s.alternative,
    least(s.full_cents, coalesce(s.at_most_cents, s.full_cents)) as amount_cents
from shares as s
