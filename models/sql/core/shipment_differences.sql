-- One row per shipment with a base charge, cause, kind and name of charge billed otherwise than the tariff makes of all its
-- parcels together; `parcel_id` is its first one. A shipment that the tariff has no rule for is not checked, nor is a
-- charge that no surcharge row states, nor the fuel that may be taken on it.
with billed as (
    select
        h.parcel_id,
        b.charge_kind, b.charge_name,
        cast(sum(b.billed_cents) as bigint) as billed_cents
    from core.shipments as h
    inner join core.shipment_parcels as s on s.carrier = h.carrier and s.shipment_id = h.shipment_id
    inner join core.billed_charges as b on b.parcel_id = s.parcel_id
    group by h.parcel_id, b.charge_kind, b.charge_name
),

based as (
    select
        b.parcel_id,
        e.parcel_id is not null as has_price
    from billed as b
    left join core.shipment_charges as e
        on e.parcel_id = b.parcel_id and e.charge_kind = 'base' and e.amount_cents is not null
    where b.charge_kind = 'base'
),

compared as (
    select
        coalesce(b.parcel_id, e.parcel_id) as parcel_id,
        coalesce(b.charge_kind, e.charge_kind) as charge_kind,
        coalesce(b.charge_name, e.charge_name) as charge_name,
        coalesce(b.billed_cents, 0) as billed_cents,
        coalesce(e.amount_cents, 0) as expected_cents
    from billed as b
    full join core.shipment_charges as e
        on e.parcel_id = b.parcel_id and e.charge_kind = b.charge_kind and e.charge_name = b.charge_name
),

stated as (
    select
        s.service_key,
        t.surcharge,
        bool_or(t.is_of_base) as is_of_base
    from shop.tariff_scopes as s
    inner join shop.tariff_surcharges as t on t.surcharge_key = s.surcharge_key
    group by s.service_key, t.surcharge
),

judged as (
    select
        c.*,
        h.parcel_count,
        k.has_price, k.has_price
        and c.charge_kind in ('surcharge', 'unmapped')
        and (n.surcharge is null or (n.is_of_base and u.has_own_base and o.surcharge is null)) as is_unstated,
        l.fuel_share_millionths, l.rounding_cents, l.rounding_bias
    from compared as c
    inner join core.shipments as h on h.parcel_id = c.parcel_id
    inner join based as k on k.parcel_id = c.parcel_id
    left join rating.lanes as l on l.lane_key = h.lane_key
    left join shop.tariff_shipments as u
        on u.service_key = h.service_key and u.parcels_at_least <= h.parcel_count and u.parcels_at_most >= h.parcel_count
    left join shop.tariff_shipment_charges as o
        on o.service_key = u.service_key and o.parcels_at_least = u.parcels_at_least and o.surcharge = c.charge_name
    left join stated as n on n.service_key = h.service_key and n.surcharge = c.charge_name
),

-- Of an option or event each parcel may bear one.
options as (
    select distinct j.parcel_id, j.charge_name
    from judged as j
    inner join core.shipments as h on h.parcel_id = j.parcel_id
    inner join rating.lanes as l on l.lane_key = h.lane_key
    inner join shop.tariff_extras as e
        on e.service_key = l.service_key
        and e.zone = l.priced_zone
        and e.charge_name = j.charge_name
        and {counts e on l.shipped_on}
    where
        j.is_unstated and e.fixed_cents > 0 and mod(j.billed_cents, e.fixed_cents) = 0
        and j.billed_cents between 0 and e.fixed_cents * h.parcel_count
),

unstated as (
    select
        j.parcel_id,
        cast(sum(greatest(j.billed_cents, 0)) as bigint) as amount_cents
    from judged as j
    where j.is_unstated
    group by j.parcel_id
),

allowed as (
    select
        j.*,
        o.parcel_id is not null as is_option,
        case
            when j.charge_kind = 'fuel' and u.parcel_id is not null
                then least(
                    greatest(j.billed_cents - j.expected_cents, 0),
                    {amount u.amount_cents * j.fuel_share_millionths by j.} + 1
                )
            else 0
        end as on_unstated_cents
    from judged as j
    left join options as o on o.parcel_id = j.parcel_id and o.charge_name = j.charge_name
    left join unstated as u on u.parcel_id = j.parcel_id
),

parted as (
    select
        a.*,
        case
            when not a.has_price then 'not checked'
            when a.is_option then 'option or event'
            when a.is_unstated then 'not checked'
            when abs(a.billed_cents - a.expected_cents - a.on_unstated_cents) <= a.parcel_count then 'rounding'
            else 'shipment'
        end as difference_class,
        a.billed_cents - a.on_unstated_cents - case when a.has_price then a.expected_cents else 0 end as difference_cents
    from allowed as a
    union all
    select
        a.*,
        'not checked' as difference_class,
        a.on_unstated_cents as difference_cents
    from allowed as a
    where a.on_unstated_cents > 0
)

select
    p.parcel_id, p.difference_class, p.charge_kind, p.charge_name,
    case when p.has_price then p.expected_cents end as expected_cents,
    p.billed_cents, p.difference_cents
from parted as p
where p.difference_cents <> 0
