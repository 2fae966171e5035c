-- One row per month of shipping and bin of margin: how many parcels were left with so much.
-- The bins of a month are as wide as makes at most thirty of them between its fifth and its 95th parcel of a hundred, and
-- end a tenth of that span beyond; the outermost hold all that lies farther out.
with spread as (
    select
        c.shipped_month,
        percentile_cont(0.05) within group (order by c.margin_cents) as low_cents,
        percentile_cont(0.95) within group (order by c.margin_cents) as high_cents
    from marts.parcel_costs as c
    where not c.is_account
    group by c.shipped_month
),

widths as (
    select
        s.shipped_month,
        s.low_cents - (s.high_cents - s.low_cents) / 10 as low_cents,
        s.high_cents + (s.high_cents - s.low_cents) / 10 as high_cents,
        case
            when s.high_cents - s.low_cents <= 3000 then 100
            when s.high_cents - s.low_cents <= 6000 then 200
            when s.high_cents - s.low_cents <= 15000 then 500
            when s.high_cents - s.low_cents <= 30000 then 1000
            when s.high_cents - s.low_cents <= 150000 then 5000
            else 100000
        end as width_cents
    from spread as s
),

binned as (
    select
        w.shipped_month, w.width_cents,
        cast(
            floor(least(greatest(cast(c.margin_cents as double), w.low_cents), w.high_cents) / w.width_cents) as bigint
        ) as bin_number,
        c.margin_cents
    from marts.parcel_costs as c
    inner join widths as w on w.shipped_month = c.shipped_month
    where not c.is_account
)

select
    b.shipped_month,
    b.bin_number * b.width_cents as from_margin_cents,
    (b.bin_number + 1) * b.width_cents as until_margin_cents,
    count(*) as parcel_count,
    cast(sum(b.margin_cents) as bigint) as margin_cents
from binned as b
group by b.shipped_month, b.bin_number, b.width_cents
