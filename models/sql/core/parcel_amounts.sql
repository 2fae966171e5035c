-- One row per parcel, or carrier and month of account fees, and kind of cost: its cents. Kinds of nothing have no row.
with claimed as (
    select
        c.parcel_id,
        'damage_net' as cost_kind,
        cast(sum(c.loss_cents) as bigint) as amount_cents
    from core.claims as c
    group by c.parcel_id
),

-- The way back that an invoice bills is counted by that invoice.
returned as (
    select
        r.parcel_id,
        cast(
            sum(case when b.parcel_id is null then coalesce(r.return_carriage_cents, 0) else 0 end) as bigint
        ) as carriage_cents,
        cast(sum(coalesce(r.depreciation_cents, 0)) as bigint) as depreciation_cents
    from accepted.returns as r
    left join (select distinct c.parcel_id from core.charge_lines as c) as b on b.parcel_id = r.return_parcel_id
    group by r.parcel_id
),

amounts as (
    select c.parcel_id, c.cost_kind, c.amount_cents from core.parcel_charges as c
    union all
    select c.parcel_id, c.cost_kind, c.amount_cents from claimed as c
    union all
    select r.parcel_id, 'return_carriage' as cost_kind, r.carriage_cents as amount_cents from returned as r
    union all
    select r.parcel_id, 'depreciation' as cost_kind, r.depreciation_cents as amount_cents from returned as r
    union all
    select p.parcel_id, 'carton' as cost_kind, p.carton_cents as amount_cents from core.parcels as p
    union all
    select p.parcel_id, 'material' as cost_kind, p.material_cents as amount_cents from core.parcels as p
    union all
    select p.parcel_id, 'labour' as cost_kind, p.labour_cents as amount_cents from core.parcels as p
)

select a.parcel_id, a.cost_kind, a.amount_cents
from amounts as a
where a.amount_cents <> 0
