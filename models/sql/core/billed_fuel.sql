-- One row per parcel billed otherwise than expected: the fuel billed, what is due on the charges that the tariff rates as
-- they were billed, and whether another base than the tariff's fits.
with sums as (
    select
        s.parcel_id,
        min(l.lane_key) as lane_key,
        cast(sum(case when s.charge_kind = 'base' then s.billed_cents else 0 end) as bigint) as base_cents,
        cast(
            sum(case when s.charge_kind = 'surcharge' and u.parcel_id is null then s.billed_cents else 0 end) as bigint
        ) as surcharge_cents,
        cast(
            sum(
                case
                    when s.charge_kind = 'base' and l.is_fuel_of_base then s.billed_cents
                    when s.charge_kind = 'surcharge' and n.surcharge is not null then s.billed_cents
                    else 0
                end
            ) as bigint
        ) as billed_fuelled_cents,
        cast(sum(case when s.charge_kind = 'fuel' then s.billed_cents else 0 end) as bigint) as fuel_cents
    from core.billing_steps as s
    inner join rechecked.priced as p on p.request_id = s.parcel_id || '/0'
    inner join rechecked.lanes as l on l.lane_key = p.lane_key
    left join shop.tariff_fuel_bases as n
        on n.fuel_basis_key = l.fuel_basis_key and n.surcharge = s.charge_name and n.surcharge <> ''
    left join core.unrated_charges as u
        on u.parcel_id = s.parcel_id and u.charge_kind = s.charge_kind and u.charge_name = s.charge_name
    group by s.parcel_id
),

fuelled as (
    select
        s.parcel_id, s.fuel_cents,
        l.is_fuel_of_base, l.is_fuel_of_surcharge, l.fuel_share_millionths, l.rounding_cents, l.rounding_bias,
        s.billed_fuelled_cents,
        {amount s.base_cents * l.fuel_share_millionths by l.} as of_base_cents,
        {amount s.surcharge_cents * l.fuel_share_millionths by l.} as of_surcharge_cents,
        {amount (s.base_cents + s.surcharge_cents) * l.fuel_share_millionths by l.} as of_both_cents
    from sums as s
    inner join rechecked.lanes as l on l.lane_key = s.lane_key
),

due as (
    select
        f.*,
        {amount f.billed_fuelled_cents * f.fuel_share_millionths by f.} as due_cents
    from fuelled as f
)

select
    d.parcel_id, d.fuel_cents, d.billed_fuelled_cents, d.fuel_share_millionths, d.is_fuel_of_base,
    d.is_fuel_of_surcharge, d.rounding_cents, d.rounding_bias, d.due_cents,
    d.fuel_cents <> d.due_cents
    and d.fuel_cents in (d.of_base_cents, d.of_surcharge_cents, d.of_both_cents) as is_other_base
from due as d
