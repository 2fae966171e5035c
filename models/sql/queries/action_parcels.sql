-- One row per evidence of an action and parcel that its saving was reckoned on, with the amount that speaks for it.
-- What saves each month was reckoned on the last twelve months that its table knows.
with changed as (
    select 'analysis.best_cartons' as made_by, b.best_carton_code as to_code, b.shipped_month, b.item_type, b.carton_code,
        b.packing_method, b.used_height_in, b.contents, b.saving_cents,
        cast(max(b.shipped_month) over () - interval '12' month as date) as before_month
    from analysis.best_cartons as b
    union all
    select 'analysis.assortment_cartons' as made_by, a.size_code as to_code, a.shipped_month, a.item_type, a.carton_code,
        a.packing_method, a.used_height_in, a.contents, a.saving_cents,
        cast(max(a.shipped_month) over () - interval '12' month as date) as before_month
    from analysis.assortment_cartons as a
),

found as (
    select 'marts.billing_disputes, carrier ' || d.carrier || ', is_disputable' as evidence, d.parcel_id,
        d.outstanding_cents as amount_cents
    from marts.billing_disputes as d
    where d.is_disputable and d.outstanding_cents > 0
    union all
    select 'marts.claim_deadlines, claim_task ' || c.claim_task as evidence, c.parcel_id, c.open_cents as amount_cents
    from marts.claim_deadlines as c
    where c.open_cents > 0 and coalesce(c.is_in_time, true)
    union all
    select distinct b.made_by || ', item_type ' || b.item_type || ', carton_code ' || coalesce(n.today_code, b.carton_code)
        || ', best_carton_code ' || b.to_code as evidence, p.parcel_id, p.spent_cents as amount_cents
    from changed as b
    left join core.renamed_cartons as n on n.carton_code = b.carton_code
    inner join core.carton_demand as p
        on p.shipped_month = b.shipped_month and p.item_type = b.item_type and p.carton_code = b.carton_code
        and coalesce(p.packing_method, 'unknown') = b.packing_method
        and coalesce(p.cut_height_in, b.used_height_in) is not distinct from b.used_height_in
        -- Goods of several kinds, and those known by their carton alone, cannot be told apart here.
        and (b.contents = cast(p.piece_count as varchar) || ' ' || p.item_type or b.contents like '%, %' or b.contents like 'goods %')
    where b.saving_cents > 0 and p.packed_contents_key is not null and p.conditions_key is not null
        and b.shipped_month > b.before_month
    union all
    select 'marts.near_miss_totals, item_type ' || n.item_type || ', carton_code '
        || coalesce(t.today_code, n.carton_code, 'unknown')
        || ', charge_name ' || n.charge_name || ', change ' || n.change as evidence, n.parcel_id,
        n.spared_cents as amount_cents
    from marts.surcharge_near_misses as n
    left join core.renamed_cartons as t on t.carton_code = n.carton_code
    where n.near_miss = 'paid' and n.is_counted
        and n.shipped_month > (select cast(max(x.shipped_month) - interval '12' month as date) from marts.near_miss_totals as x)
    union all
    select 'analysis.assortment_cartons, analysis.assortment_saving, held out' as evidence, p.parcel_id,
        p.spent_cents as amount_cents
    from analysis.assortment_ladder as a
    inner join core.carton_demand as p on p.shipped_month = a.shipped_month and p.item_type = a.item_type
    where p.packed_contents_key is not null and p.conditions_key is not null
        and a.shipped_month > (select cast(max(x.shipped_month) - interval '12' month as date) from analysis.assortment_ladder as x)
    union all
    select 'analysis.service_rules, item_type ' || s.item_type || ', carrier ' || s.carrier || ', service ' || s.service
        || coalesce(', zone_low ' || s.zone_low, '') || ', other_carrier ' || s.other_carrier
        || ', other_service ' || s.other_service as evidence, s.parcel_id, s.amount_cents
    from service_rule_parcels as s
    union all
    select 'analysis.packing_decision, item_type ' || c.item_type as evidence, c.parcel_id, c.margin_cents as amount_cents
    from marts.parcel_costs as c
    where c.shipped_month > (select cast(max(x.shipped_month) - interval '12' month as date) from marts.coverage as x)
    union all
    select 'analysis.shipping_guidance, shortfall_cents above 0 and margin_cents below 0' as evidence, c.parcel_id,
        c.margin_cents as amount_cents
    from marts.parcel_costs as c
    left join core.zone_bands as z on z.carrier = c.carrier and z.zone = coalesce(c.zone, 'unknown')
    inner join analysis.shipping_guidance as g
        on g.item_type = c.item_type and g.zone_band = coalesce(z.zone_band, 'unknown')
        and c.shipped_on between g.first_on and g.last_on
    where c.piece_count = 1 and c.base_cents <> 0 and not g.is_too_few and g.shortfall_cents > 0 and g.margin_cents < 0
)

select
    case when length(f.evidence) > 200 then substr(f.evidence, 1, 199) || '…' else f.evidence end as evidence,
    f.parcel_id, f.amount_cents
from found as f
