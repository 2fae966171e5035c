-- Sales, parcels, bills and claims are each due once, and each is either found or missing: what lacks nothing and what
-- lacks something make up the records, to the cent of their money.
with counted as (
    select
        g.gap,
        cast(sum(g.due_count) as bigint) as due_count,
        cast(sum(g.due_count - g.missing_count) as bigint) as whole_count,
        coalesce(cast(sum(g.missing_cents) as bigint), 0) as missing_cents
    from marts.record_gaps as g
    group by g.gap
),

sold as (
    select
        'sales without a parcel' as gap,
        count(*) as due_count,
        count(case when p.sale_id is not null then 1 end) as whole_count,
        coalesce(
            cast(
                sum(
                    case
                        when p.sale_id is null
                            then l.shipping_charged_cents - l.shipping_refunded_cents + l.allowance_cents
                                - l.fee_on_shipping_cents
                    end
                ) as bigint
            ),
            0
        ) as missing_cents
    from core.sale_lines as l
    left join (select distinct k.sale_id, k.line_number from core.packed_lines as k) as p
        on p.sale_id = l.sale_id and p.line_number = l.line_number
    where l.sale_state in ('sold', 'returned')
),

packed as (
    select
        'parcels without a bill' as gap,
        count(*) as due_count,
        count(case when c.parcel_id is not null then 1 end) as whole_count,
        coalesce(cast(sum(case when c.parcel_id is null then r.expected_cents end) as bigint), 0) as missing_cents
    from core.parcels as p
    left join rating.priced as r on r.request_id = p.parcel_id and r.lacking is null
    left join (
        select b.parcel_id from core.charge_lines as b where b.charge_kind = 'base' and not b.is_account
        union
        select s.parcel_id from core.shipment_parcels as s where s.is_charged
    ) as c on c.parcel_id = p.parcel_id
    where p.has_bench_log or p.has_charges
),

billed as (
    select
        'bills without a sale' as gap,
        count(distinct c.parcel_id) as due_count,
        count(distinct case when p.parcel_id is not null or w.parcel_id is not null then c.parcel_id end) as whole_count,
        coalesce(
            cast(sum(case when p.parcel_id is null and w.parcel_id is null then m.billed_cents end) as bigint), 0
        ) as missing_cents
    from (
        select b.parcel_id from core.charge_lines as b where not b.is_account
        union
        select s.parcel_id from core.shipment_parcels as s where s.is_charged
    ) as c
    inner join marts.parcel_costs as m on m.parcel_id = c.parcel_id
    left join (select distinct r.return_parcel_id as parcel_id from accepted.returns as r) as w
        on w.parcel_id = c.parcel_id
    left join (
        select distinct k.parcel_id
        from core.packed_lines as k
        inner join core.sale_lines as l on l.sale_id = k.sale_id and l.line_number = k.line_number
    ) as p on p.parcel_id = c.parcel_id
),

claimed as (
    select
        'claims without a parcel' as gap,
        count(distinct c.parcel_id) as due_count,
        count(distinct case when w.parcel_id is not null or b.parcel_id is not null then c.parcel_id end) as whole_count,
        coalesce(
            cast(sum(case when w.parcel_id is null and b.parcel_id is null then c.loss_cents end) as bigint), 0
        ) as missing_cents
    from core.claims as c
    left join (select distinct k.parcel_id from accepted.weights as k) as w on w.parcel_id = c.parcel_id
    left join (select distinct k.parcel_id from accepted.charges as k) as b on b.parcel_id = c.parcel_id
),

known as (
    select * from sold
    union all
    select * from packed
    union all
    select * from billed
    union all
    select * from claimed
)

select
    k.gap,
    k.due_count as known_count,
    coalesce(c.due_count, 0) as counted,
    k.whole_count as known_whole_count,
    coalesce(c.whole_count, 0) as whole_count,
    k.missing_cents as known_cents,
    coalesce(c.missing_cents, 0) as cents
from known as k
left join counted as c on c.gap = k.gap
where k.due_count <> coalesce(c.due_count, 0)
    or k.whole_count <> coalesce(c.whole_count, 0)
    or k.missing_cents <> coalesce(c.missing_cents, 0)
