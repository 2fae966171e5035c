-- One row per parcel, or carrier and month of account fees, whose tax the shop gets back by the tariff or by its
-- settings: its cents, below zero. Where prices contain the tax, it is reckoned from all that was billed.
with parcels as (
    select
        c.parcel_id,
        -case
            when l.is_tax_in_prices then {tax_within sum(c.amount_cents) in l}
            else cast(sum(case when c.charge_kind = 'tax' then c.amount_cents else 0 end) as bigint)
        end as amount_cents
    from core.charge_lines as c
    inner join rating.priced as p on p.request_id = c.parcel_id
    inner join rating.lanes as l on l.lane_key = p.lane_key
    cross join shop.settings as y
    where not c.is_account and (l.is_tax_reclaimable or y.is_tax_reclaimed)
    group by c.parcel_id, l.is_tax_in_prices, l.tax_share_millionths
),

account_days as (
    select distinct c.carrier, c.invoiced_on
    from core.charge_lines as c
    where c.is_account and c.charge_kind = 'tax'
),

reclaiming as (
    select distinct d.carrier, d.invoiced_on
    from account_days as d
    inner join shop.tariffs as t on t.carrier = d.carrier and t.is_tax_reclaimable and {in_force t on d.invoiced_on}
    union
    select d.carrier, d.invoiced_on
    from account_days as d
    inner join shop.settings as y on y.is_tax_reclaimed
),

accounts as (
    select
        c.parcel_id,
        -cast(sum(c.amount_cents) as bigint) as amount_cents
    from core.charge_lines as c
    inner join reclaiming as g on g.carrier = c.carrier and g.invoiced_on = c.invoiced_on
    where c.is_account and c.charge_kind = 'tax'
    group by c.parcel_id
)

select p.parcel_id, p.amount_cents
from parcels as p
where p.amount_cents <> 0
union all
select a.parcel_id, a.amount_cents
from accounts as a
where a.amount_cents <> 0
