-- One row per surcharge class and surcharge row that is charged in it: of each group the highest rank, or where the rows
-- say so the greatest amount, the first among equals. `alternative` is the first that holds; `fixed_cents` is null where
-- the row takes a share, or an amount by weight. A discount is on what the rows of one surcharge come to together, and
-- stands with the first of them.
with classes as (
    select distinct
        p.surcharge_class_key, p.lane_class_key, p.tariff_key, p.service_key, p.season_key, p.zone, p.case_bits,
        p.missing_weight_milli, p.is_home, p.place_key, p.declared_up_to_cents
    from rating.price_classes as p
),

lane_surcharges as (
    select distinct
        c.lane_class_key,
        s.surcharge_key
    from classes as c
    inner join shop.tariff_seasons as e on e.season_key = c.season_key
    inner join shop.tariff_scopes as p on p.service_key = c.service_key and p.zone = c.zone
    inner join shop.tariff_surcharges as s on s.surcharge_key = p.surcharge_key and {counts s on e.valid_from}
),

applying as (
    select
        c.surcharge_class_key,
        s.surcharge_key,
        {min a.alternative, c.declared_up_to_cents, c.missing_weight_milli}
    from classes as c
    inner join lane_surcharges as l on l.lane_class_key = c.lane_class_key
    inner join shop.tariff_surcharges as s on s.surcharge_key = l.surcharge_key
    inner join shop.tariff_alternatives as a
        on a.surcharge_key = s.surcharge_key
        and a.service_key = c.service_key
        and (c.case_bits & a.decisive) = a.mask
    left join shop.tariff_areas as t on t.place_key = c.place_key and t.tariff_key = c.tariff_key and t.area = s.area
    where
        (c.is_home or not s.is_residential_only)
        and (s.area is null or t.area is not null)
        and (s.missing_step_milli is null or c.missing_weight_milli > 0)
    group by c.surcharge_class_key, s.surcharge_key
),

amounts as (
    select
        a.*,
        coalesce(
            s.fixed_cents,
            {amount ceil(greatest(a.declared_up_to_cents - s.above_cents, 0) / s.step_cents)
            * s.step_amount_millicents * 1000 by s.},
            {amount a.declared_up_to_cents * s.declared_share_millionths by s.},
            {amount ceil(a.missing_weight_milli / s.missing_step_milli) * s.missing_millicents * 1000 by s.}
        ) as full_cents,
        s.at_least_cents, s.at_most_cents
    from applying as a
    inner join shop.tariff_surcharges as s on s.surcharge_key = a.surcharge_key
),

bounded as (
    select
        a.surcharge_class_key, a.surcharge_key, a.alternative,
        case
            when a.full_cents is not null
                then greatest(least(a.full_cents, coalesce(a.at_most_cents, a.full_cents)), coalesce(a.at_least_cents, 0))
        end as fixed_cents
    from amounts as a
),

ranked as (
    select
        b.surcharge_class_key, b.surcharge_key, b.alternative,
        row_number() over (
            partition by b.surcharge_class_key, s.charge_group, case when s.charge_group is null then s.surcharge_key end
            order by
                case when s.is_greatest then b.fixed_cents else -1 end desc, s.charge_rank desc, s.surcharge_number
        ) as place,
        s.minimum_weight_milli, s.surcharge,
        b.fixed_cents
    from bounded as b
    inner join shop.tariff_surcharges as s on s.surcharge_key = b.surcharge_key
),

charged as (
    select
        r.*,
        case
            when row_number() over (
                partition by r.surcharge_class_key, r.surcharge
                order by case when r.fixed_cents is null then 1 else 0 end, r.surcharge_key
            ) = 1
                then cast(sum(r.fixed_cents) over (partition by r.surcharge_class_key, r.surcharge) as bigint)
        end as together_cents
    from ranked as r
    where r.place = 1
)

select
    r.surcharge_class_key, r.surcharge_key, r.alternative, r.minimum_weight_milli, r.fixed_cents,
    case
        when r.together_cents is not null and d.service_key is not null
            then -least(
                {amount r.together_cents * d.share_millionths by d.},
                greatest(r.together_cents - d.minimum_charge_cents, 0)
            )
    end as discount_cents
from charged as r
inner join classes as c on c.surcharge_class_key = r.surcharge_class_key
inner join shop.tariff_seasons as e on e.season_key = c.season_key
left join shop.tariff_discounts as d
    on d.service_key = c.service_key
    and d.zone = c.zone
    and d.target_kind = 'surcharge'
    and d.target_surcharge = r.surcharge
    and {counts d on e.valid_from}
