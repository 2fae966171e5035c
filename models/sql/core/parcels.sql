-- One row per parcel that the bench log, an invoice or a claim names. The bench log says first what is known of it, then
-- the invoice, then the label; nothing that was typed for a label is taken as measured. A destination that neither bench log
-- nor label states is that of the sales in the parcel, where they state one and the same. Where no record states a day of
-- shipping or a label, the parcel counts on the day of its first invoice, else of its claim; dated_by says so. Parcels
-- without any day are left out: core.undated_parcels names them.
-- A parcel of several item types of which no record says which was in it, since another parcel of the sale may hold them,
-- has an unknown one.
-- Costs of carton, material and labour are those valid on the day of shipping; unknown ones count as nothing here and
-- are named by the checks.
with benched as (
    select
        w.parcel_id,
        {max w.shipped_on, w.carrier, w.service, w.zone},
        bool_or(w.is_residential) as is_residential,
        {max w.destination_prefix, w.declared_value_cents, w.carton_code, w.cut_height_in, w.packing_method},
        bool_and(w.is_rectangular) as is_rectangular,
        {max w.scale_weight_lb, w.length_in, w.width_in, w.height_in, w.packer, w.pack_minutes}
    from accepted.weights as w
    group by w.parcel_id
),

invoiced as (
    select
        c.parcel_id,
        {max c.carrier, c.service, c.zone},
        min(c.shipped_on) as stated_on,
        min(c.invoiced_on) as invoiced_on
    from core.charge_lines as c
    where not c.is_account
    group by c.parcel_id
),

claimed as (
    select
        c.parcel_id,
        min(c.opened_on) as opened_on
    from core.claims as c
    group by c.parcel_id
),

named as (
    select parcel_id from benched
    union
    select parcel_id from invoiced
    union
    select parcel_id from claimed
),

ranked_lines as (
    select
        l.parcel_id, l.item_type, l.channel,
        count(*) over (partition by l.parcel_id) as line_count,
        cast(sum(l.packed_quantity) over (partition by l.parcel_id) as bigint) as piece_count,
        count(l.line_quantity) over (partition by l.parcel_id) > 0 as has_sale,
        min(l.destination_prefix) over (partition by l.parcel_id) as first_prefix,
        max(l.destination_prefix) over (partition by l.parcel_id) as last_prefix,
        l.is_content_known
        or min(l.item_type) over (partition by l.parcel_id) = max(l.item_type) over (partition by l.parcel_id)
            as is_item_type_known,
        row_number() over (
            partition by l.parcel_id order by l.cost_basis desc, l.item_type, l.sale_id, l.line_number
        ) as place
    from core.packed_lines as l
),

joined as (
    select
        n.parcel_id,
        coalesce(b.shipped_on, i.stated_on, l.first_scan_on, l.bought_on, i.invoiced_on, c.opened_on) as shipped_on,
        case
            when coalesce(b.shipped_on, i.stated_on) is not null then 'shipping'
            when l.bought_on is not null then 'label'
            when i.invoiced_on is not null then 'invoice'
            else 'claim'
        end as dated_by,
        coalesce(b.carrier, i.carrier, l.carrier, s.carrier, 'unknown') as carrier,
        coalesce(b.service, i.service, l.service) as service,
        coalesce(b.zone, i.zone, l.zone) as zone,
        b.is_residential,
        coalesce(b.destination_prefix, l.destination_prefix) as destination_prefix,
        b.declared_value_cents, b.carton_code, b.cut_height_in, b.packing_method,
        coalesce(b.is_rectangular, true) as is_rectangular,
        b.scale_weight_lb, b.length_in, b.width_in, b.height_in, b.packer, b.pack_minutes,
        b.parcel_id is not null as has_bench_log,
        i.parcel_id is not null or coalesce(s.is_charged, false) as has_charges
    from named as n
    left join benched as b on b.parcel_id = n.parcel_id
    left join invoiced as i on i.parcel_id = n.parcel_id
    left join claimed as c on c.parcel_id = n.parcel_id
    left join core.labels as l on l.parcel_id = n.parcel_id and not l.is_voided
    left join core.undated_parcels as u on u.parcel_id = n.parcel_id
    left join core.shipment_parcels as s on s.parcel_id = n.parcel_id
    where u.parcel_id is null
)

select
    j.parcel_id, j.shipped_on,
    cast(date_trunc('month', j.shipped_on) as date) as shipped_month,
    j.carrier, j.service, j.zone, j.is_residential,
    coalesce(
        j.destination_prefix, case when l.first_prefix = l.last_prefix then l.first_prefix end
    ) as destination_prefix,
    j.declared_value_cents,
    coalesce(case when l.is_item_type_known then l.item_type end, 'unknown') as item_type,
    coalesce(l.channel, 'unknown') as channel,
    coalesce(l.line_count, 0) as line_count,
    coalesce(l.piece_count, 0) as piece_count,
    j.carton_code, j.cut_height_in, j.packing_method, j.is_rectangular, j.scale_weight_lb, j.length_in, j.width_in,
    j.height_in, j.packer,
    coalesce(j.pack_minutes, m.pack_minutes) as pack_minutes,
    coalesce(k.unit_cost_cents, 0) as carton_cents,
    coalesce(m.material_cents, 0) as material_cents,
    cast(round(coalesce(j.pack_minutes, m.pack_minutes, 0) * s.wage_cents_per_hour / 60) as bigint) as labour_cents,
    j.has_bench_log, j.has_charges,
    coalesce(l.has_sale, false) as has_sale,
    j.dated_by
from joined as j
cross join shop.settings as s
left join ranked_lines as l on l.parcel_id = j.parcel_id and l.place = 1
left join core.cartons as k on k.carton_code = j.carton_code and {valid k on j.shipped_on}
left join core.packing_methods as m on m.packing_method = j.packing_method and {valid m on j.shipped_on}
