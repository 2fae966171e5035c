-- One row per parcel, kind and name of charge that the billed service, zone, sides and weight leave unexplained.
-- Fuel follows what it is taken on; where it does not, the bases that a carrier could have taken by mistake are tried.
with sums as (
    select
        s.parcel_id,
        cast(sum(case when s.charge_kind = 'base' then s.billed_cents else 0 end) as bigint) as base_cents,
        cast(sum(case when s.charge_kind = 'surcharge' then s.billed_cents else 0 end) as bigint) as surcharge_cents,
        cast(sum(case when s.charge_kind = 'fuel' then s.billed_cents else 0 end) as bigint) as fuel_cents,
        max(case when s.charge_kind = 'surcharge' and s.weight_cents = 0 and s.billed_cents > 0 then 1 else 0 end)
            as unjustified_count,
        max(case when s.charge_kind = 'surcharge' and s.weight_cents > 0 and s.billed_cents = 0 then 1 else 0 end)
            as missing_count,
        max(case when s.charge_kind <> 'fuel' and s.weight_cents <> s.billed_cents then 1 else 0 end) as left_count
    from core.billing_steps as s
    group by s.parcel_id
),

fuels as (
    select
        s.*,
        l.is_fuel_of_base,
        l.is_fuel_of_surcharge,
        cast(
            floor(
                (
                    (
                        case when l.is_fuel_of_base then s.base_cents else 0 end
                        + case when l.is_fuel_of_surcharge then s.surcharge_cents else 0 end
                    ) * l.fuel_share_millionths + 500000
                ) / 1000000
            ) as bigint
        ) as due_cents,
        cast(floor((s.base_cents * l.fuel_share_millionths + 500000) / 1000000) as bigint) as of_base_cents,
        cast(floor((s.surcharge_cents * l.fuel_share_millionths + 500000) / 1000000) as bigint) as of_surcharge_cents,
        cast(
            floor(((s.base_cents + s.surcharge_cents) * l.fuel_share_millionths + 500000) / 1000000) as bigint
        ) as of_both_cents
    from sums as s
    inner join rechecked.priced as p on p.request_id = s.parcel_id || '/0'
    inner join rechecked.lanes as l on l.lane_key = p.lane_key
),

classed as (
    select
        f.*,
        case
            when f.unjustified_count > 0 then 'surcharge not justified'
            when f.missing_count > 0 then 'surcharge missing'
            else 'unknown'
        end as main_class
    from fuels as f
)

select
    s.parcel_id,
    s.charge_kind,
    s.charge_name,
    s.billed_cents - s.weight_cents as left_cents,
    case
        when s.charge_kind = 'unmapped' then 'unmapped charge'
        when s.charge_kind = 'fuel' and c.fuel_cents = c.due_cents and c.left_count > 0 then c.main_class
        when
            s.charge_kind = 'fuel' and c.fuel_cents <> c.due_cents
            and c.fuel_cents in (c.of_base_cents, c.of_surcharge_cents, c.of_both_cents) then 'fuel base'
        when s.charge_kind = 'fuel' and abs(c.fuel_cents - c.due_cents) <= 1 and c.left_count > 0 then c.main_class
        when s.charge_kind = 'surcharge' and s.weight_cents = 0 then 'surcharge not justified'
        when s.charge_kind = 'surcharge' and s.billed_cents = 0 then 'surcharge missing'
        when abs(s.billed_cents - s.weight_cents) <= 1 then 'rounding'
        when s.charge_kind = 'base' and s.has_least_weight then 'surcharge not justified'
        else 'unknown'
    end as difference_class,
    c.is_fuel_of_base,
    c.is_fuel_of_surcharge
from core.billing_steps as s
inner join classed as c on c.parcel_id = s.parcel_id
where s.billed_cents <> s.weight_cents
