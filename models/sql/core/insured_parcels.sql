-- One row per parcel whose goods' worth is known: what it was insured for, what that cost, what became of its claims for
-- damage or loss. A charge is a premium where the tariff takes it on the declared value, or where the shop calls it
-- `declared value` or `insurance`. A parcel is insured where a premium was billed, or a label says so.
with worths as (
    select
        l.parcel_id,
        cast(round(sum(cast(s.goods_cents as double) * l.packed_quantity / s.quantity)) as bigint) as worth_cents,
        max(case when t.is_fragile then 1 else 0 end) = 1 as has_fragile
    from core.parcel_lines as l
    inner join core.sale_lines as s on s.sale_id = l.sale_id and s.line_number = l.line_number
    left join accepted.item_types as t on t.item_type = l.item_type
    where s.quantity > 0
    group by l.parcel_id
),

premium_names as (
    select distinct
        t.carrier,
        s.surcharge
    from shop.tariff_surcharges as s
    inner join shop.tariffs as t on t.tariff_key = s.tariff_key
    where s.above_cents is not null or s.declared_share_millionths is not null
    union
    select distinct
        t.carrier,
        e.charge_name as surcharge
    from shop.tariff_extras as e
    inner join shop.tariffs as t on t.tariff_key = e.tariff_key
    where e.is_of_declared
),

premiums as (
    select
        c.parcel_id,
        cast(sum(c.amount_cents) as bigint) as premium_cents
    from core.charge_lines as c
    left join premium_names as n on n.carrier = c.carrier and n.surcharge = c.surcharge
    where c.charge_kind = 'surcharge' and (n.surcharge is not null or c.surcharge in ('declared value', 'insurance'))
    group by c.parcel_id
),

losses as (
    select
        c.parcel_id,
        cast(
            sum(
                coalesce(c.claimed_cents, c.refund_cents + c.replacement_cents + c.return_cost_cents - c.salvage_cents)
            ) as bigint
        ) as lost_cents,
        cast(sum(c.paid_cents) as bigint) as paid_cents,
        min(
            case
                when c.claim_state in ('paid', 'paid in part', 'refused') then 1
                when c.claim_state = 'closed' and c.decided_on is not null then 1
                else 0
            end
        ) = 1 as is_claim_decided
    from core.claims as c
    where c.claim_cause in ('damage', 'loss')
    group by c.parcel_id
)

select
    p.parcel_id, p.shipped_on, p.shipped_month, p.item_type,
    w.worth_cents,
    cast(
        case
            when w.worth_cents < 5000 then 0
            when w.worth_cents < 10000 then 5000
            when w.worth_cents < 20000 then 10000
            when w.worth_cents < 30000 then 20000
            when w.worth_cents < 50000 then 30000
            when w.worth_cents < 100000 then 50000
            else 100000
        end as bigint
    ) as worth_from_cents,
    w.has_fragile,
    coalesce(m.premium_cents, 0) > 0 or coalesce(b.insured_cents, 0) > 0 as is_insured,
    greatest(coalesce(m.premium_cents, 0), 0) as premium_cents,
    c.parcel_id is not null as is_claimed,
    coalesce(c.is_claim_decided, false) as is_claim_decided,
    greatest(coalesce(c.lost_cents, 0), 0) as lost_cents,
    coalesce(c.paid_cents, 0) as paid_cents
from core.parcels as p
inner join worths as w on w.parcel_id = p.parcel_id
left join premiums as m on m.parcel_id = p.parcel_id
left join core.labels as b on b.parcel_id = p.parcel_id and not b.is_voided
left join losses as c on c.parcel_id = p.parcel_id
where p.has_bench_log or p.has_charges
