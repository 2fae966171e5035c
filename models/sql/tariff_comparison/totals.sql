-- One row: all parcels looked back on.
select
    {max r.carrier, t.tariff_code},
    cast(min(r.shipped_on) as date) as first_on,
    cast(max(r.shipped_on) as date) as last_on,
    count(*) as parcel_count,
    count(case when p.is_compared then 1 end) as compared_count,
    cast(sum(case when p.is_compared then p.before_cents end) as bigint) as before_cents,
    cast(sum(case when p.is_compared then p.after_cents end) as bigint) as after_cents,
    cast(sum(case when p.is_compared then p.after_cents - p.before_cents end) as bigint) as change_cents,
    round(
        cast(sum(case when p.is_compared then p.after_cents - p.before_cents end) as double)
        / nullif(sum(case when p.is_compared then p.before_cents end), 0), 4
    ) as change_share,
    count(case when p.is_compared and p.is_learned then 1 end) as learned_count,
    case
        when bool_or(p.is_compared and p.is_learned)
            and count(case when p.is_compared then p.base_within_cents end) = count(case when p.is_compared then 1 end)
            then cast(ceil(sum(case when p.is_compared then p.base_within_cents + p.fuel_within_cents end)) as bigint)
    end as within_cents
from whatif.pairs as p
inner join rating.requests as r on r.request_id = p.parcel_id
inner join announced.tariffs as t on t.carrier = r.carrier
