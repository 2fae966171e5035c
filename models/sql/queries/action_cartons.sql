-- One row per item type, carton used by today's code, better carton from stock and whether it is cut: the last twelve months.
with {recent analysis.best_cartons}

select
    r.item_type,
    coalesce(n.today_code, r.carton_code) as carton_code,
    r.best_carton_code, r.is_cut,
    min(r.best_height_in) as cut_low_in,
    max(r.best_height_in) as cut_high_in,
    cast(sum(r.parcel_count) as bigint) as parcel_count,
    cast(sum(r.saving_cents) as bigint) as saving_cents,
    max(case when h.is_advised then 1 else 0 end) = 1 as is_borne_out,
    count(distinct r.shipped_month) as saved_month_count,
    max(m.month_count) as month_count
from recent as r
cross join months as m
left join core.renamed_cartons as n on n.carton_code = r.carton_code
left join analysis.changes_held_out as h
    on h.item_type = r.item_type
    and h.carton_code = coalesce(n.today_code, r.carton_code)
    and h.best_carton_code = r.best_carton_code
    and h.is_cut = r.is_cut
where r.saving_cents > 0
group by r.item_type, coalesce(n.today_code, r.carton_code), r.best_carton_code, r.is_cut
order by r.item_type, carton_code, r.best_carton_code, r.is_cut
