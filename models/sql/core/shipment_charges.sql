-- One row per shipment whose bill can be checked, kind and name of charge: what the tariff makes of all its parcels together.
-- A base price of null: the weight of all is beyond the prices.
with ruled as (
    select
        h.parcel_id, h.carrier, h.shipment_id, h.lane_key,
        t.*
    from core.shipments as h
    inner join shop.tariff_shipments as t
        on t.service_key = h.service_key and t.parcels_at_least <= h.parcel_count and t.parcels_at_most >= h.parcel_count
    where h.shipment_lacking is null
),

lines as (
    select
        r.parcel_id, r.service_key, r.parcels_at_least, r.has_own_base,
        e.charge_kind, e.charge_name, e.amount_cents,
        row_number() over (
            partition by r.parcel_id, e.charge_kind, e.charge_name order by e.amount_cents desc, s.parcel_id
        ) as place
    from ruled as r
    inner join core.shipment_parcels as s on s.carrier = r.carrier and s.shipment_id = r.shipment_id
    inner join core.rechecked_charges as e on e.request_id = s.parcel_id || '/parcel'
),

-- The most expensive parcel is the first one; what the others cost less is taken off them.
each_base as (
    select
        l.parcel_id,
        cast(
            sum(
                l.amount_cents - case
                    when l.place > 1 or r.is_less_on_all
                        then least(
                            l.amount_cents, coalesce(r.less_cents, {amount l.amount_cents * r.less_millionths by r.}, 0)
                        )
                    else 0
                end
            ) as bigint
        ) as amount_cents
    from lines as l
    inner join ruled as r on r.parcel_id = l.parcel_id
    where l.charge_kind = 'base'
    group by l.parcel_id
),

bases as (
    select
        r.parcel_id,
        case
            when r.is_of_total and b.price_cents is null then null
            else greatest(
                case when r.is_of_total then b.price_cents + b.discount_cents else e.amount_cents end, r.minimum_cents
            )
        end as amount_cents
    from ruled as r
    left join each_base as e on e.parcel_id = r.parcel_id
    left join core.shipment_totals as b on b.parcel_id = r.parcel_id
),

-- What takes a share of the base price once takes it of the shipment's.
once_shares as (
    select distinct
        r.parcel_id,
        h.surcharge_key
    from ruled as r
    inner join core.shipment_parcels as s on s.carrier = r.carrier and s.shipment_id = r.shipment_id
    inner join rechecked.priced as p on p.request_id = s.parcel_id || '/parcel'
    inner join rechecked.class_percent_charges as h on h.price_class_key = p.price_class_key
),

shares as (
    select
        o.parcel_id,
        t.surcharge,
        cast(
            sum(
                greatest(
                    least(
                        {amount b.amount_cents * t.share_millionths by t.},
                        coalesce(t.at_most_cents, {amount b.amount_cents * t.share_millionths by t.})
                    ),
                    coalesce(t.at_least_cents, 0)
                )
            ) as bigint
        ) as amount_cents
    from once_shares as o
    inner join bases as b on b.parcel_id = o.parcel_id
    inner join ruled as r on r.parcel_id = o.parcel_id
    inner join shop.tariff_surcharges as t
        on t.surcharge_key = o.surcharge_key and t.is_of_base and not t.is_of_surcharge
    inner join shop.tariff_shipment_charges as c
        on c.service_key = r.service_key and c.parcels_at_least = r.parcels_at_least and c.surcharge = t.surcharge
    group by o.parcel_id, t.surcharge
),

-- A share of each parcel's base price is none of another base price.
own_shares as (
    select distinct
        s.service_key,
        t.surcharge
    from shop.tariff_scopes as s
    inner join shop.tariff_surcharges as t on t.surcharge_key = s.surcharge_key and t.is_of_base
),

charges as (
    select
        b.parcel_id,
        'base' as charge_kind,
        'base' as charge_name,
        b.amount_cents
    from bases as b
    union all
    select
        l.parcel_id, l.charge_kind, l.charge_name,
        cast(sum(case when o.surcharge is null or l.place = 1 then l.amount_cents else 0 end) as bigint) as amount_cents
    from lines as l
    left join shop.tariff_shipment_charges as o
        on o.service_key = l.service_key
        and o.parcels_at_least = l.parcels_at_least
        and o.surcharge = l.charge_name
    left join own_shares as a on a.service_key = l.service_key and a.surcharge = l.charge_name
    left join shares as w on w.parcel_id = l.parcel_id and w.surcharge = l.charge_name
    where l.charge_kind = 'surcharge' and w.surcharge is null and not (l.has_own_base and a.surcharge is not null)
    group by l.parcel_id, l.charge_kind, l.charge_name
    union all
    select
        w.parcel_id,
        'surcharge' as charge_kind,
        w.surcharge as charge_name,
        w.amount_cents
    from shares as w
),

fuelled as (
    select
        c.parcel_id,
        cast(
            sum(
                case when n.fuel_basis_key is not null then c.amount_cents else 0 end
            ) as bigint
        ) as amount_cents
    from charges as c
    inner join ruled as r on r.parcel_id = c.parcel_id
    inner join rating.lanes as l on l.lane_key = r.lane_key
    left join shop.tariff_fuel_bases as n
        on n.fuel_basis_key = l.fuel_basis_key
        and n.surcharge = case when c.charge_kind = 'base' then '' else c.charge_name end
    group by c.parcel_id
)

select c.parcel_id, c.charge_kind, c.charge_name, c.amount_cents
from charges as c
union all
select
    f.parcel_id,
    'fuel' as charge_kind,
    'fuel' as charge_name,
    {amount f.amount_cents * l.fuel_share_millionths by l.} as amount_cents
from fuelled as f
inner join ruled as r on r.parcel_id = f.parcel_id
inner join rating.lanes as l on l.lane_key = r.lane_key
