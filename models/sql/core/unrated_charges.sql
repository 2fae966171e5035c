-- One row per parcel billed otherwise than expected and charge that no surcharge row of its tariff states.
-- `due_cents` is what an option or event of the tariff comes to; null where the tariff states no amount for the charge.
with billed as (
    select
        s.parcel_id, s.charge_kind, s.charge_name, s.billed_cents,
        l.tariff_key, l.service_key,
        l.priced_zone as zone,
        l.shipped_on,
        b.base_cents,
        r.declared_value_cents
    from core.billing_steps as s
    inner join core.billed_parcels as b on b.parcel_id = s.parcel_id
    inner join rating.requests as r on r.request_id = s.parcel_id
    inner join rechecked.priced as p on p.request_id = s.parcel_id || '/0'
    inner join rechecked.lanes as l on l.lane_key = p.lane_key
    where s.charge_kind in ('surcharge', 'unmapped') and s.billed_cents <> 0
),

rated_names as (
    select distinct t.tariff_key, t.surcharge
    from shop.tariff_surcharges as t
),

-- Of several rows the one that comes nearest to what was billed.
stated as (
    select
        b.parcel_id, b.charge_kind, b.charge_name, b.billed_cents,
        case
            when e.fixed_cents is not null then e.fixed_cents
            when e.share_millionths is not null
                then {amount case when e.is_of_declared then b.declared_value_cents else b.base_cents end
                * e.share_millionths by e.}
        end as full_cents,
        e.at_least_cents, e.at_most_cents
    from billed as b
    left join rated_names as n on n.tariff_key = b.tariff_key and n.surcharge = b.charge_name
    left join shop.tariff_extras as e on {alike e, b in service_key, zone, charge_name} and {counts e on b.shipped_on}
    where n.surcharge is null
),

bounded as (
    select
        s.*,
        greatest(
            least(s.full_cents, coalesce(s.at_most_cents, s.full_cents)), coalesce(s.at_least_cents, 0)
        ) as due_cents,
        s.full_cents is not null as has_amount
    from stated as s
),

ranked as (
    select
        b.parcel_id, b.charge_kind, b.charge_name, b.billed_cents,
        case when b.has_amount then b.due_cents end as due_cents,
        row_number() over (
            partition by b.parcel_id, b.charge_kind, b.charge_name
            order by case when b.has_amount then abs(b.billed_cents - b.due_cents) else 0 end, b.due_cents
        ) as place
    from bounded as b
)

select r.parcel_id, r.charge_kind, r.charge_name, r.billed_cents, r.due_cents
from ranked as r
where r.place = 1
