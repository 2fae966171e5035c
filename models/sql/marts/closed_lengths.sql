-- One row per month of shipping, carrier, carton, length from which the carrier charges more, and step of length near it:
-- the parcels whose closed carton measured so long. Of several such lengths the one nearest to the parcel counts, within
-- four inches.
with placed as (
    select
        p.shipped_month, p.carrier, p.carton_code,
        l.limit_in,
        p.length_in - l.limit_in as beyond_in,
        row_number() over (partition by p.parcel_id order by abs(p.length_in - l.limit_in), l.limit_in) as place
    from core.parcels as p
    inner join core.tariff_days as d on d.carrier = p.carrier and d.service = p.service and d.shipped_on = p.shipped_on
    inner join core.length_limits as l on l.tariff_key = d.tariff_key and l.service = d.service
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
    q.shipped_month, q.carrier, q.carton_code, q.limit_in,
    q.limit_in + q.quarter_number / 4 as from_length_in,
    q.limit_in + (q.quarter_number + 1) / 4 as until_length_in,
    q.quarter_number >= 0 as is_beyond,
    count(*) as parcel_count
from quarters as q
group by q.shipped_month, q.carrier, q.carton_code, q.limit_in, q.quarter_number
