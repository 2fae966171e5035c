-- One row per item type, carton by today's code, charge within reach and change: the last twelve months.
with {recent marts.near_miss_totals}

select
    r.item_type,
    coalesce(n.today_code, r.carton_code) as carton_code,
    r.charge_name, r.change,
    {max r.change_in, r.change_lb},
    cast(sum(r.parcel_count) as bigint) as parcel_count,
    cast(sum(r.cut_count) as bigint) as cut_count,
    max(r.other_carton_code) as other_carton_code,
    cast(sum(r.spared_cents) as bigint) as spared_cents,
    max(m.month_count) as month_count
from recent as r
cross join months as m
left join core.renamed_cartons as n on n.carton_code = r.carton_code
group by r.item_type, coalesce(n.today_code, r.carton_code), r.charge_name, r.change
order by r.item_type, carton_code, r.charge_name, r.change
