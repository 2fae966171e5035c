-- One row per month of shipping, carrier, carton, length from which the carrier charges more, and quarter of an inch near it:
-- the parcels whose closed carton measured so long.
-- A carrier rounds before it compares, so it charges from a length that no list prints: 48.5 in where it rounds to the
-- nearest inch and charges above 48. Of several such lengths the one nearest to the parcel counts, within four inches.
with stated as (
    select distinct
        a.service_key,
        a.threshold_milli
    from shop.tariff_alternatives as a
    where a.measure = 'longest_side'
),

limits as (
    select distinct
        s.tariff_key,
        s.service,
        cast(
            c.threshold_milli + case when c.is_inclusive then 0 else s.side_step_milli end - s.side_bias_milli as double
        ) / (1000 * t.length_per_in) as limit_in
    from shop.tariff_conditions as c
    inner join stated as a on a.service_key = c.service_key and a.threshold_milli = c.threshold_milli
    inner join shop.tariff_services as s on s.service_key = c.service_key
    inner join shop.tariffs as t on t.tariff_key = s.tariff_key
    where c.measure = 'longest_side'
),

placed as (
    select
        p.shipped_month,
        p.carrier,
        p.carton_code,
        l.limit_in,
        p.length_in - l.limit_in as beyond_in,
        row_number() over (partition by p.parcel_id order by abs(p.length_in - l.limit_in), l.limit_in) as place
    from core.parcels as p
    inner join core.tariff_days as d
        on d.carrier = p.carrier and d.service = p.service and d.shipped_on = p.shipped_on
    inner join limits as l on l.tariff_key = d.tariff_key and l.service = d.service
    where p.carton_code is not null and p.length_in is not null
),

quarters as (
    select
        p.*,
        floor(4 * p.beyond_in + 1e-6) as quarter_number
    from placed as p
    where p.place = 1 and abs(p.beyond_in) < 4
)

select
    q.shipped_month,
    q.carrier,
    q.carton_code,
    q.limit_in,
    q.limit_in + q.quarter_number / 4 as from_length_in,
    q.limit_in + (q.quarter_number + 1) / 4 as until_length_in,
    q.quarter_number >= 0 as is_beyond,
    count(*) as parcel_count
from quarters as q
group by q.shipped_month, q.carrier, q.carton_code, q.limit_in, q.quarter_number
