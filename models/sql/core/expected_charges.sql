-- One row per parcel and expected charge line: what it is, how much, and which measure passed which threshold.
-- `measured` and `threshold` are in the tariff's units; those of a declared value in cents.
-- Lines are numbered within their cell, which all its parcels share; fuel and tax come last.
with class_lines as (
    select
        l.*,
        c.missing_weight_milli,
        row_number() over (partition by l.price_class_key order by l.line_number) as place
    from rating.class_charges as l
    inner join rating.price_classes as c on c.price_class_key = l.price_class_key
),

cell_counts as (
    select
        l.price_class_key,
        count(*) as line_count
    from rating.class_charges as l
    group by l.price_class_key
),

lines as (
    select
        p.request_id,
        l.place as line_number,
        l.charge_kind, l.charge_name, l.charge_code, l.surcharge_key, l.alternative, l.missing_weight_milli,
        l.amount_cents
    from rating.priced as p
    inner join class_lines as l on l.price_class_key = p.price_class_key
    union all
    select
        p.request_id,
        coalesce(n.line_count, 0) + k.place as line_number,
        k.charge_kind,
        k.charge_kind as charge_name,
        cast(null as varchar) as charge_code,
        cast(null as bigint) as surcharge_key,
        cast(null as bigint) as alternative,
        cast(null as bigint) as missing_weight_milli,
        case k.charge_kind when 'fuel' then p.fuel_cents else p.tax_cents end as amount_cents
    from rating.priced as p
    cross join (
        {values charge_kind, place in 'fuel' 1, 'tax' 2}
    ) as k
    left join cell_counts as n on n.price_class_key = p.price_class_key
    where case k.charge_kind when 'fuel' then p.fuel_cents else p.tax_cents end <> 0
),

first_conditions as (
    select
        a.surcharge_key, a.alternative,
        {min a.measure, a.threshold_milli}
    from shop.tariff_alternatives as a
    group by a.surcharge_key, a.alternative
),

explained as (
    select
        l.request_id, l.line_number, l.charge_kind, l.charge_name, l.charge_code, l.amount_cents,
        s.above_cents,
        l.missing_weight_milli,
        r.scale_weight_lb, r.declared_value_cents,
        d.weight_unit, d.billed_weight, d.longest_side, d.second_side, d.shortest_side, d.length_plus_girth, d.volume,
        d.dim_weight, d.rated_weight,
        a.threshold_milli,
        case
            when l.charge_name = 'base' then 'billed_weight'
            when a.measure is not null then a.measure
            when s.is_residential_only then 'residential'
            when s.area is not null then 'area'
            when s.above_cents is not null then 'declared_value'
            when s.missing_step_milli is not null then 'missing_weight'
        end as measure
    from lines as l
    inner join rating.requests as r on r.request_id = l.request_id
    inner join rating.rated as d on d.request_id = l.request_id
    left join shop.tariff_surcharges as s on s.surcharge_key = l.surcharge_key
    left join first_conditions as a on a.surcharge_key = l.surcharge_key and a.alternative = l.alternative
)

select
    e.request_id as parcel_id,
    e.line_number, e.charge_kind, e.charge_name, e.charge_code, e.amount_cents, e.measure,
    cast(
        case e.measure
            when 'billed_weight' then e.billed_weight
            when 'longest_side' then e.longest_side
            when 'second_side' then e.second_side
            when 'shortest_side' then e.shortest_side
            when 'length_plus_girth' then e.length_plus_girth
            when 'sum_of_sides' then e.longest_side + e.second_side + e.shortest_side
            when 'longest_plus_shortest' then e.longest_side + e.shortest_side
            when 'diagonal'
                then floor(
                    sqrt(
                        e.longest_side * e.longest_side + e.second_side * e.second_side
                        + e.shortest_side * e.shortest_side
                    ) * 1000 + 0.5
                ) / 1000
            when 'volume' then e.volume
            when 'dim_weight' then e.dim_weight
            when 'rated_weight' then e.rated_weight
            when 'scale_weight' then round(e.scale_weight_lb * t.weight_per_lb * 1000) / 1000
            when 'declared_value' then e.declared_value_cents
            when 'missing_weight' then e.missing_weight_milli / 1000
        end as double
    ) as measured,
    cast(
        case
            when e.measure = 'declared_value' then e.above_cents
            when e.threshold_milli is not null then e.threshold_milli / 1000
        end as double
    ) as threshold
from explained as e
inner join (
    select distinct u.weight_unit, u.weight_per_lb
    from shop.tariffs as u
) as t on t.weight_unit = e.weight_unit
