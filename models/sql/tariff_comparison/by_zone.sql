-- One row per zone: parcels priced by both tariffs.
select
    p.zone,
    count(*) as parcel_count,
    {sums p.before_cents, p.after_cents},
    cast(sum(p.after_cents - p.before_cents) as bigint) as change_cents,
    round(cast(sum(p.after_cents - p.before_cents) as double) / nullif(sum(p.before_cents), 0), 4) as change_share,
    case
        when bool_or(p.is_learned) and count(p.base_within_cents) = count(*)
            then cast(ceil(sum(p.base_within_cents + p.fuel_within_cents)) as bigint)
    end as within_cents
from whatif.pairs as p
where p.is_compared
group by p.zone
order by change_cents desc, p.zone
