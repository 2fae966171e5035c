-- One row per cell and surcharge row that takes a share of what comes before it.
with shares as (
    select
        b.cell_key,
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
    from rating.case_surcharges as c
    inner join shop.tariff_surcharges as s on s.surcharge_key = c.surcharge_key
    inner join rating.cell_bases as b on b.case_key = c.case_key
    where s.share_millionths is not null and b.lacking is null
)

select
    s.cell_key,
    s.surcharge_key,
    s.alternative,
    least(s.full_cents, coalesce(s.at_most_cents, s.full_cents)) as amount_cents
from shares as s
