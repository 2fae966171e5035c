-- What a mart adds up is what its rows are made from: as many things, and the same cents. Of sums of twelve months
-- those of the last month are added up again. The way back of a return counts once, where no invoice bills it.
with last_month as (
    select max(m.shipped_month) as shipped_month
    from marts.shipping_margin as m
),

last_damage_month as (
    select max(d.shipped_month) as shipped_month
    from marts.damage_counts as d
),

last_margins as (
    select s.*
    from marts.shipping_margin as s
    inner join last_month as l on s.shipped_month > cast(l.shipped_month - interval '12' month as date)
),

last_cells as (
    select s.*
    from marts.margin_cells as s
    inner join last_month as l on s.shipped_month > cast(l.shipped_month - interval '12' month as date)
),

last_damage as (
    select s.*
    from marts.damage_counts as s
    inner join last_damage_month as l on s.shipped_month > cast(l.shipped_month - interval '12' month as date)
),

returned as (
    select
        coalesce(r.depreciation_cents, 0) as depreciation_cents,
        case when b.parcel_id is null then coalesce(r.return_carriage_cents, 0) else 0 end as way_back_cents
    from accepted.returns as r
    inner join core.parcels as p on p.parcel_id = r.parcel_id
    left join (select distinct c.parcel_id from accepted.charges as c) as b on b.parcel_id = r.return_parcel_id
)

{unlike marts.parcel_costs as t: 0, t.billed_cents against accepted.charges as s: 0, s.amount_cents;
    marts.parcel_costs as t: 0, t.return_carriage_cents + t.depreciation_cents
    against returned as s: 0, s.depreciation_cents + s.way_back_cents;
    marts.invoice_totals as t: t.line_count, t.amount_cents against accepted.charges as s: 1, s.amount_cents;
    marts.charge_word_costs as t: t.line_count, t.amount_cents against accepted.charges as s: 1, s.amount_cents;
    marts.billing_totals as t: t.dispute_count, t.over_cents against marts.billing_disputes as s: 1, s.over_cents;
    marts.unchecked_charges as t: t.line_count, t.billed_cents
    against marts.billing_differences as s
        where s.difference_class in ('not checked', 'option or event'): 1, s.difference_cents;
    marts.billing_checks as t: t.charged_count, 0 against core.billed_parcels as s: 1, 0;
    marts.invoice_delays as t: t.first_billed_count, 0
    against core.billed_parcels as s
        inner join core.parcels as p on p.parcel_id = s.parcel_id
        where p.dated_by in ('shipping', 'label'): 1, 0;
    marts.near_miss_totals as t: t.parcel_count, t.spared_cents
    against marts.surcharge_near_misses as s where s.near_miss = 'paid' and s.is_counted: 1, s.spared_cents;
    marts.quoted_against_billed as t: t.parcel_count, t.billed_cents
    against core.quoted_parcels as s: 1, s.billed_cents;
    marts.insurance_ledger as t: t.parcel_count, t.premium_cents + t.lost_cents - t.paid_cents
    against core.insured_parcels as s: 1, s.premium_cents + s.lost_cents - s.paid_cents;
    marts.sale_states as t: t.line_count, t.shipping_charged_cents + t.shipping_tax_cents
    against core.sale_lines as s: 1, s.shipping_charged_cents + s.shipping_tax_cents;
    marts.returns as t: 1, t.depreciation_cents against returned as s: 1, s.depreciation_cents;
    marts.claim_losses as t: 1, t.claim_cost_cents
    against core.claims as s
        inner join core.parcels as p on p.parcel_id = s.parcel_id
        where p.has_bench_log or p.has_charges: 1, s.claim_cost_cents;
    marts.margin_bins as t: t.parcel_count, t.margin_cents
    against marts.parcel_costs as s where not s.is_account: 1, s.margin_cents;
    marts.surcharge_frequency as t: 0, t.amount_cents
    against core.charge_lines as s
        inner join core.parcels as p on p.parcel_id = s.parcel_id
        where s.charge_kind = 'surcharge' and not s.is_account: 0, s.amount_cents;
    marts.weekly_charges as t: t.charged_count, t.billed_cents
    against marts.parcel_costs as s
        inner join core.parcels as p on p.parcel_id = s.parcel_id
        where s.base_cents <> 0 and (p.has_bench_log or p.has_charges): 1, s.billed_cents;
    marts.zone_sources as t: t.parcel_count, 0 against core.parcel_zones as s: 1, 0;
    marts.label_scans as t: t.label_count, 0 against core.labels as s where not s.is_voided: 1, 0;
    marts.carriage_by_zone as t
        inner join last_month as l on l.shipped_month = t.shipped_month: t.parcel_count, t.billed_cents
    against last_cells as s where s.zone not in ('unknown', 'account'): s.parcel_count, s.billed_cents;
    marts.margin_year as t
        inner join last_month as l on l.shipped_month = t.shipped_month: t.parcel_count, t.margin_cents
    against last_margins as s: s.parcel_count, s.margin_cents;
    marts.damage_year as t
        inner join last_damage_month as l on l.shipped_month = t.shipped_month: t.parcel_count, t.damage_net_cents
    against last_damage as s: s.parcel_count, s.damage_net_cents;
    marts.packing_method_year as t
        inner join last_damage_month as l on l.shipped_month = t.shipped_month: t.parcel_count, t.damage_net_cents
    against last_damage as s: s.parcel_count, s.damage_net_cents}
