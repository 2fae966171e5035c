-- One row per return of undamaged goods whose parcel is on record: both ways, what the goods came back like and lost, and
-- how long they could not be sold. Days of goods that were not sold again end with the last day that the records know; in a
-- shop that writes down no day of a sale again, nobody knows them.
with {today weights, charges, claims, returns},

resales as (
    select count(r.resold_on) as resold_count
    from accepted.returns as r
),

billed as (
    select
        c.parcel_id,
        cast(sum(c.amount_cents) as bigint) as billed_cents
    from core.charge_lines as c
    where not c.is_account
    group by c.parcel_id
)

select
    r.return_id, r.parcel_id,
    p.item_type, p.carrier, p.shipped_on, p.shipped_month,
    r.returned_on, r.return_condition, r.return_parcel_id,
    coalesce(c.billed_cents, 0) as way_out_cents,
    coalesce(b.billed_cents, r.return_carriage_cents, 0) as return_carriage_cents,
    coalesce(r.depreciation_cents, 0) as depreciation_cents,
    r.resold_on,
    cast(date_diff('day', p.shipped_on, r.returned_on) as bigint) as days_away,
    case
        when s.resold_count > 0
            then cast(date_diff('day', p.shipped_on, coalesce(r.resold_on, t.as_of)) as bigint)
    end as days_unsold
from accepted.returns as r
cross join today as t
cross join resales as s
inner join core.parcels as p on p.parcel_id = r.parcel_id
left join billed as c on c.parcel_id = r.parcel_id
left join billed as b on b.parcel_id = r.return_parcel_id
