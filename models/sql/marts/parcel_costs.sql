-- One row per parcel, and one per carrier and month for account fees: all cents by kind.
-- The sum of billed_cents is the sum of all accepted charge lines.
with parcels as (
    select
        p.parcel_id,
        false as is_account,
        p.shipped_on, p.shipped_month, p.carrier, p.service, p.zone, p.item_type, p.channel, p.carton_code,
        p.packing_method, p.piece_count
    from core.parcels as p
    union all
    select distinct
        c.parcel_id,
        true as is_account,
        cast(null as date) as shipped_on,
        c.invoice_month as shipped_month,
        c.carrier,
        null as service,
        null as zone,
        'account fees' as item_type,
        'account fees' as channel,
        null as carton_code,
        null as packing_method,
        0 as piece_count
    from core.charge_lines as c
    where c.is_account
),

spent as (
    select
        a.parcel_id,
        {each costs: cast(sum(case when a.cost_kind = '$' then a.amount_cents else 0 end) as bigint) as $_cents}
    from core.parcel_amounts as a
    group by a.parcel_id
),

paid as (
    select
        l.parcel_id,
        {each paid: cast(sum(l.$_cents) as bigint) as $_cents}
    from core.parcel_lines as l
    group by l.parcel_id
),

costs as (
    select
        p.*,
        {each charges: coalesce(s.$_cents, 0) as $_cents},
        {sum charges: coalesce(s.$_cents, 0)} as billed_cents,
        {each own: coalesce(s.$_cents, 0) as $_cents},
        {each paid: coalesce(b.$_cents, 0) as $_cents}
    from parcels as p
    left join spent as s on s.parcel_id = p.parcel_id
    left join paid as b on b.parcel_id = p.parcel_id
)

select
    c.*,
    {sum income: c.$_cents} - ({sum outlays: c.$_cents}) as margin_cents
from costs as c
