-- One row per parcel of a shipment of several: its shipment, and how that is billed.
-- It is billed as a whole where not every parcel has a base charge that names it.
with base_lines as (
    select
        c.parcel_id,
        bool_or(not c.names_no_parcel) as has_own
    from core.charge_lines as c
    inner join core.shipment_members as m on m.parcel_id = c.parcel_id
    where c.charge_kind = 'base'
    group by c.parcel_id
),

charged as (
    select distinct m.carrier, m.shipment_id
    from core.shipment_members as m
    inner join core.charge_lines as c on c.parcel_id = m.parcel_id and c.charge_kind = 'base'
)

select
    m.parcel_id, m.carrier, m.shipment_id,
    coalesce(min(b.parcel_id) over (partition by m.carrier, m.shipment_id), m.lead_parcel_id) as lead_parcel_id,
    m.parcel_count,
    h.shipment_id is not null as is_charged,
    sum(case when b.has_own then 1 else 0 end) over (
        partition by m.carrier, m.shipment_id
    ) < m.parcel_count as is_billed_whole
from core.shipment_members as m
left join base_lines as b on b.parcel_id = m.parcel_id
left join charged as h on h.carrier = m.carrier and h.shipment_id = m.shipment_id
where m.parcel_count > 1
