-- One row per parcel that was billed otherwise than expected, kind and name of charge: from what the tariff makes of the
-- shop's own facts, step by step to what was billed.
-- A step without a price of its own (a service or zone that the tariff lacks, a limit passed) counts as the step before
-- it. The weight counts as measured again only where the billed weight does not already follow from the billed sides,
-- nor from the least weight of a surcharge that was billed without cause.
with checked as (
    select
        b.parcel_id, b.billed_weight_lb,
        z.lacking is null as has_lane,
        s.lacking is null as has_sides,
        w.lacking is null as has_weight,
        abs(b.billed_weight_lb - d.billable_weight_lb) > 0.001 as is_other_weight
    from core.billed_parcels as b
    inner join rechecked.priced as o on o.request_id = b.parcel_id || '/0' and o.lacking is null
    inner join rechecked.priced as z on z.request_id = b.parcel_id || '/1'
    inner join rechecked.priced as s on s.request_id = b.parcel_id || '/2'
    inner join rechecked.rated as d on d.request_id = b.parcel_id || '/2'
    inner join rechecked.priced as w on w.request_id = b.parcel_id || '/3'
),

least_weights as (
    select distinct c.parcel_id
    from checked as c
    inner join core.billed_charges as b on b.parcel_id = c.parcel_id and b.charge_kind = 'surcharge'
    inner join rechecked.priced as p on p.request_id = c.parcel_id || '/2'
    inner join rechecked.lanes as l on l.lane_key = p.lane_key
    inner join shop.tariff_surcharges as t
        on t.tariff_key = l.tariff_key
        and t.surcharge = b.charge_name
        and t.minimum_weight_milli > 0
        and abs(t.minimum_weight_milli / 1000 / l.weight_per_lb - c.billed_weight_lb) < 0.001
    left join core.rechecked_charges as e
        on e.request_id = c.parcel_id || '/2' and e.charge_kind = 'surcharge' and e.charge_name = b.charge_name
    where e.request_id is null
),

steps as (
    select
        c.parcel_id,
        c.parcel_id || '/0' as own_id,
        c.parcel_id || case when c.has_lane then '/1' else '/0' end as lane_id,
        c.parcel_id || case when c.has_sides then '/2' when c.has_lane then '/1' else '/0' end as sides_id,
        c.parcel_id || case
            when c.has_weight and c.is_other_weight and l.parcel_id is null then '/3'
            when c.has_sides then '/2'
            when c.has_lane then '/1'
            else '/0'
        end as weight_id,
        l.parcel_id is not null as has_least_weight
    from checked as c
    left join least_weights as l on l.parcel_id = c.parcel_id
),

numbers as (
    {values number in '/0', '/1', '/2', '/3'}
),

asked as (
    select
        s.*,
        s.parcel_id || n.number as request_id
    from steps as s
    cross join numbers as n
),

amounts as (
    select
        s.parcel_id,
        e.charge_kind, e.charge_name,
        case when e.request_id = s.own_id then e.amount_cents else 0 end as own_cents,
        case when e.request_id = s.lane_id then e.amount_cents else 0 end as lane_cents,
        case when e.request_id = s.sides_id then e.amount_cents else 0 end as sides_cents,
        case when e.request_id = s.weight_id then e.amount_cents else 0 end as weight_cents,
        0 as billed_cents
    from asked as s
    inner join core.rechecked_charges as e on e.request_id = s.request_id
    union all
    select
        s.parcel_id,
        b.charge_kind, b.charge_name,
        0 as own_cents,
        0 as lane_cents,
        0 as sides_cents,
        0 as weight_cents,
        b.billed_cents
    from steps as s
    inner join core.billed_charges as b on b.parcel_id = s.parcel_id
)

select
    a.parcel_id, a.charge_kind, a.charge_name,
    bool_or(s.has_least_weight) as has_least_weight,
    {sums a.own_cents, a.lane_cents, a.sides_cents, a.weight_cents, a.billed_cents}
from amounts as a
inner join steps as s on s.parcel_id = a.parcel_id
group by a.parcel_id, a.charge_kind, a.charge_name
