-- One row per parcel, or carrier and month of account fees, and kind of charge: its cents, tax that comes back included.
-- What is billed on a shipment as a whole is shared among its parcels by what each would cost alone, else by their
-- weights, else equally; by largest remainder: each share is rounded down, the cents left over go one each to the largest.
with charged as (
    select
        c.parcel_id,
        c.charge_kind as cost_kind,
        c.amount_cents, c.names_no_parcel
    from core.charge_lines as c
    union all
    select
        r.parcel_id,
        'tax_reclaimed' as cost_kind,
        r.amount_cents,
        false as names_no_parcel
    from core.reclaimed_tax as r
),

bases as (
    select
        s.parcel_id, s.carrier, s.shipment_id,
        case when min(coalesce(r.expected_cents, 0)) over (partition by s.carrier, s.shipment_id) > 0
            then r.expected_cents
        when min(coalesce(p.scale_weight_lb, 0)) over (partition by s.carrier, s.shipment_id) > 0
            then cast(ceil(p.scale_weight_lb * 1000) as bigint)
        else 1 end as cost_basis
    from core.shipment_parcels as s
    inner join core.parcels as p on p.parcel_id = s.parcel_id
    left join rating.priced as r on r.request_id = s.parcel_id
),

wholes as (
    select
        s.carrier, s.shipment_id,
        c.cost_kind,
        cast(sum(c.amount_cents) as bigint) as amount_cents
    from charged as c
    inner join core.shipment_parcels as s on s.parcel_id = c.parcel_id
    where s.is_billed_whole or c.names_no_parcel
    group by s.carrier, s.shipment_id, c.cost_kind
),

based as (
    select
        b.*,
        w.cost_kind, w.amount_cents
    from wholes as w
    inner join bases as b on b.carrier = w.carrier and b.shipment_id = w.shipment_id
),

{shared_out based of carrier, shipment_id, cost_kind to parcel_id},

parted as (
    select
        s.parcel_id, s.cost_kind,
        s.share_cents as amount_cents
    from shares as s
    union all
    select c.parcel_id, c.cost_kind, c.amount_cents
    from charged as c
    left join core.shipment_parcels as s on s.parcel_id = c.parcel_id
    where s.parcel_id is null or not (s.is_billed_whole or c.names_no_parcel)
)

select
    p.parcel_id, p.cost_kind,
    cast(sum(p.amount_cents) as bigint) as amount_cents
from parted as p
group by p.parcel_id, p.cost_kind
