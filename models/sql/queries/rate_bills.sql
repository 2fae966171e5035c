-- One row per lane, days, billed weight and base price, with the unit and step of the tariff's weights: bills that learned prices rest on (tariff_code is known), and
-- bills of days without a price list, by calendar year, whose prices could be learned.
-- A bill of a shipment of several parcels is the price of no weight. Carriers whose every bill falls under a price list are left out at once: these are most, and have most bills.
with carriers as (
    select t.carrier
    from shop.tariffs as t
    where t.learned_first_on is not null
    union
    select d.carrier
    from core.base_charge_days as d
    where not exists (
        select 1
        from shop.tariffs as t
        where t.carrier = d.carrier and {in_force t on d.stated_on}
    )
),

base_lines as materialized (
    select l.carrier, l.parcel_id, l.invoice_number, l.service, l.zone, l.shipped_on, l.billed_weight_lb, l.amount_cents
    from core.charge_lines as l
    where
        l.charge_kind = 'base' and l.amount_cents > 0 and l.billed_weight_lb > 0
        and l.carrier in (select k.carrier from carriers as k)
        and l.parcel_id not in (select s.parcel_id from core.shipment_parcels as s)
),

billed as materialized (
    select p.parcel_id, p.service, p.zone, p.shipped_on
    from core.parcels as p
    where p.parcel_id in (select b.parcel_id from base_lines as b)
),

bills as (
    select
        l.carrier,
        coalesce(max(l.service), max(p.service)) as service,
        coalesce(max(l.zone), max(p.zone)) as zone,
        coalesce(min(l.shipped_on), min(p.shipped_on)) as shipped_on,
        max(l.billed_weight_lb) as billed_weight_lb,
        max(l.amount_cents) as base_cents
    from base_lines as l
    inner join billed as p on p.parcel_id = l.parcel_id
    group by l.carrier, l.parcel_id, l.invoice_number
),

lanes as (
    select distinct
        t.tariff_code, t.carrier,
        s.service,
        p.zone,
        t.learned_first_on, t.learned_last_on, t.weight_per_lb,
        s.weight_step_milli
    from shop.tariffs as t
    inner join shop.tariff_services as s on s.tariff_key = t.tariff_key
    inner join shop.tariff_prices as p on p.service_key = s.service_key
    where t.learned_first_on is not null
),

unlisted as (
    select
        b.*,
        min(b.shipped_on) over (partition by b.carrier, date_part('year', b.shipped_on)) as learned_first_on,
        max(b.shipped_on) over (partition by b.carrier, date_part('year', b.shipped_on)) as learned_last_on
    from bills as b
    where not exists (
        select 1
        from shop.tariffs as t
        where t.carrier = b.carrier and {in_force t on b.shipped_on}
    )
),

both_kinds as (
    select
        n.tariff_code, n.carrier, n.service, n.zone, n.learned_first_on, n.learned_last_on, n.weight_per_lb,
        n.weight_step_milli,
        b.billed_weight_lb, b.base_cents
    from lanes as n
    left join bills as b
        on {alike b, n in carrier, service, zone}
        and b.shipped_on between n.learned_first_on and n.learned_last_on
    union all
    select
        cast(null as varchar) as tariff_code,
        u.carrier, u.service, u.zone, u.learned_first_on, u.learned_last_on,
        1.0 as weight_per_lb,
        1000 as weight_step_milli,
        u.billed_weight_lb, u.base_cents
    from unlisted as u
    where u.service is not null and u.zone is not null
)

select
    k.carrier, k.service, k.zone, k.tariff_code,
    cast(k.learned_first_on as date) as learned_first_on,
    cast(k.learned_last_on as date) as learned_last_on,
    k.weight_per_lb, k.weight_step_milli, k.billed_weight_lb, k.base_cents,
    count(k.base_cents) as bill_count
from both_kinds as k
group by
    k.carrier, k.service, k.zone, k.tariff_code, k.learned_first_on, k.learned_last_on, k.weight_per_lb,
    k.weight_step_milli, k.billed_weight_lb, k.base_cents
order by k.carrier, k.service, k.zone, k.tariff_code, k.learned_first_on, k.billed_weight_lb, k.base_cents
