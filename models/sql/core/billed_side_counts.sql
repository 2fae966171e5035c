-- One row per month of shipping, tariff, service, carton, its catalogue entry, cut height, side and its length as billed:
-- how many parcels, and the first day of them.
with sides as (
    {values side in 'longest side', 'second side', 'shortest side'}
),

billed as (
    select
        p.shipped_month,
        d.tariff_key,
        p.service, p.carton_code,
        c.effective_from,
        p.cut_height_in,
        b.billed_length_in, b.billed_width_in, b.billed_height_in,
        min(p.shipped_on) as first_on,
        count(*) as parcel_count
    from core.parcels as p
    inner join core.billed_parcels as b on b.parcel_id = p.parcel_id
    inner join core.tariff_days as d
        on d.carrier = p.carrier and d.service = coalesce(p.service, '') and d.shipped_on = p.shipped_on
    left join core.cartons as c on c.carton_code = p.carton_code and {valid c on p.shipped_on}
    where
        p.carton_code is not null and p.service is not null
        and b.billed_length_in is not null and b.billed_width_in is not null and b.billed_height_in is not null
    group by
        p.shipped_month, d.tariff_key, p.service, p.carton_code, c.effective_from, p.cut_height_in, b.billed_length_in,
        b.billed_width_in, b.billed_height_in
),

by_side as (
    select
        b.*,
        s.side,
        case s.side
            when 'longest side' then b.billed_length_in
            when 'second side' then b.billed_width_in
            else b.billed_height_in
        end as billed_in
    from billed as b
    cross join sides as s
)

select
    b.shipped_month, b.tariff_key, b.service, b.carton_code, b.effective_from, b.cut_height_in, b.side, b.billed_in,
    min(b.first_on) as first_on,
    cast(sum(b.parcel_count) as bigint) as parcel_count
from by_side as b
group by b.shipped_month, b.tariff_key, b.service, b.carton_code, b.effective_from, b.cut_height_in, b.side, b.billed_in
