-- One row per parcel, cause, kind and name of charge that was billed otherwise than expected, repeated lines and later
-- corrections left out. What lies within the error of a price learned from bills is of no cause, nor what is based on a
-- zone learned from too few.
with step_rows as (
    select
        s.*,
        case when b.service <> r.service then 'wrong service' else 'wrong zone' end as difference_class,
        s.lane_cents - s.own_cents as difference_cents
    from core.billing_steps as s
    inner join core.billed_parcels as b on b.parcel_id = s.parcel_id
    inner join rating.requests as r on r.request_id = s.parcel_id
    where s.lane_cents <> s.own_cents
    union all
    select
        s.*,
        'sides re-measured' as difference_class,
        s.sides_cents - s.lane_cents as difference_cents
    from core.billing_steps as s
    where s.sides_cents <> s.lane_cents
    union all
    select
        s.*,
        'weight re-measured' as difference_class,
        s.weight_cents - s.sides_cents as difference_cents
    from core.billing_steps as s
    where s.weight_cents <> s.sides_cents
    union all
    select
        s.*,
        l.difference_class,
        l.left_cents as difference_cents
    from core.unexplained_charges as l
    inner join core.billing_steps as s
        on s.parcel_id = l.parcel_id and s.charge_kind = l.charge_kind and s.charge_name = l.charge_name
),

bounded as (
    select
        s.*,
        case
            when
                m.parcel_id is null
                or s.difference_class not in (
                    'wrong service', 'wrong zone', 'sides re-measured', 'weight re-measured', 'rounding', 'unknown'
                ) then false
            -- A list that does not know what volume weighs cannot say that a billed weight is wrong.
            when s.difference_class = 'weight re-measured' and not m.has_divisor then true
            when m.miss_cents is null then s.charge_kind in ('base', 'fuel') or h.share_millionths is not null
            else abs(s.difference_cents) <= case
                when s.charge_kind = 'base' then m.miss_cents
                when s.charge_kind = 'fuel' then ceil(m.miss_cents * m.fuel_share_millionths / 1000000) + 1
                when h.share_millionths is not null then ceil(m.miss_cents * h.share_millionths / 1000000) + 1
                else -1
            end * case when s.difference_class in ('rounding', 'unknown') then 1 else 2 end
        end as is_within,
        -- Prices alone were learned: how the carrier reckons fuel is not known.
        s.charge_kind = 'fuel' and m.parcel_id is not null and not m.has_fuel as is_unstated
    from step_rows as s
    left join core.learned_misses as m on m.parcel_id = s.parcel_id
    left join (
        select
            t.tariff_key, t.surcharge,
            max(t.share_millionths) as share_millionths
        from shop.tariff_surcharges as t
        where t.is_of_base
        group by t.tariff_key, t.surcharge
    ) as h on h.tariff_key = m.tariff_key and h.surcharge = s.charge_name and s.charge_kind = 'surcharge'
),

-- What is taken on the base price shares its cause.
judged as (
    select
        b.parcel_id,
        case
            when b.is_unstated then 'not checked'
            when z.parcel_id is not null and b.difference_class not in ('not checked', 'option or event', 'other amount')
                then 'learned zone'
            when
                b.is_within and max(case when b.charge_kind = 'base' and b.is_within then 1 else 0 end) over (
                    partition by b.parcel_id, b.difference_class
                ) = 1 then 'learned price'
            else b.difference_class
        end as difference_class,
        b.charge_kind, b.charge_name,
        b.own_cents as expected_cents,
        b.billed_cents, b.difference_cents
    from bounded as b
    left join core.parcel_zones as z on z.parcel_id = b.parcel_id and z.zone_source = 'bills' and not z.is_certain
)

select
    j.parcel_id, j.difference_class, j.charge_kind, j.charge_name,
    {max j.expected_cents, j.billed_cents},
    cast(sum(j.difference_cents) as bigint) as difference_cents
from judged as j
group by j.parcel_id, j.difference_class, j.charge_kind, j.charge_name
