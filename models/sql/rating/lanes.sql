-- One row per carrier, service, zone and day of shipping that is asked for: the rules that hold there, of a carrier's
-- tariffs those of the one that states the service.
with asked as (
    select distinct r.carrier, r.service, r.zone, r.shipped_on
    from rating.requests as r
),

dated as (
    select
        a.carrier, a.service, a.zone, a.shipped_on,
        t.tariff_key,
        s.service_key,
        row_number() over (
            partition by a.carrier, a.service, a.zone, a.shipped_on
            order by case when s.service_key is null then 1 else 0 end, t.effective_from desc, t.tariff_key desc
        ) as place
    from asked as a
    left join shop.tariffs as t on t.carrier = a.carrier and {in_force t on a.shipped_on}
    left join shop.tariff_services as s on s.tariff_key = t.tariff_key and s.service = a.service
),

priced_zones as (
    select distinct p.service_key, p.zone
    from shop.tariff_prices as p
),

-- A zone without prices of its own, and one that is not known, have those of every zone, where there are such.
zones_asked as (
    select
        a.service_key, a.zone,
        coalesce(max(case when p.zone = a.zone then p.zone end), max(p.zone)) as priced_zone
    from (
        select distinct d.service_key, d.zone
        from dated as d
    ) as a
    inner join priced_zones as p on p.service_key = a.service_key and (p.zone = a.zone or p.zone = '*')
    group by a.service_key, a.zone
)

select
    {key d.carrier, d.service, d.zone, d.shipped_on} as lane_key,
    {key d.service_key, e.season_key, z.priced_zone, f.fuel_basis_key} as lane_class_key,
    d.carrier, d.service, d.zone, d.shipped_on, d.tariff_key, d.service_key,
    e.season_key,
    z.priced_zone,
    t.length_per_in, t.weight_per_lb,
    s.side_step_milli, s.side_bias_milli, s.weight_step_milli, s.scale_grain_milli, s.top_step, s.declared_grain_cents,
    s.declared_most_steps,
    coalesce(s.has_residential, false) as has_residential,
    t.rounding_cents, t.rounding_bias,
    f.fuel_basis_key,
    coalesce(f.share_millionths, 0) as fuel_share_millionths,
    coalesce(f.is_of_base, false) as is_fuel_of_base,
    coalesce(f.is_of_surcharge, false) as is_fuel_of_surcharge,
    x.share_millionths as tax_share_millionths,
    t.tax_rounding_cents, t.tax_rounding_bias,
    coalesce(t.is_tax_in_prices, false) as is_tax_in_prices,
    coalesce(t.is_tax_reclaimable, false) as is_tax_reclaimable,
    case
        when d.tariff_key is null then 'no tariff on that day'
        when d.service is null then 'service unknown'
        when d.service_key is null then 'service not in the tariff'
        when z.priced_zone is not null then null
        when d.zone is null then 'zone unknown'
        else 'zone not in the tariff'
    end as lacking
from dated as d
left join shop.tariffs as t on t.tariff_key = d.tariff_key
left join shop.tariff_services as s on s.service_key = d.service_key
left join zones_asked as z on z.service_key = d.service_key and z.zone is not distinct from d.zone
left join shop.tariff_seasons as e on e.tariff_key = d.tariff_key and {counts e on d.shipped_on}
left join shop.tariff_fuel as f on f.service_key = d.service_key and {counts f on d.shipped_on}
left join shop.tariff_tax as x
    on x.service_key = d.service_key
    and x.zone = z.priced_zone
    and {counts x on d.shipped_on}
where d.place = 1
