-- One row per carton in stock and packing method in force: how many of the last half year's parcels had it, the most first.
with recent as (
    select p.carton_code, p.packing_method
    from core.parcels as p
    cross join (select max(n.shipped_on) as last_on from core.parcels as n) as t
    where p.shipped_on > cast(t.last_on - interval '183' day as date)
)

select
    'carton_code' as mark,
    c.carton_code as code,
    count(r.carton_code) as parcel_count
from core.cartons as c
inner join core.current_cartons as n on n.carton_code = c.carton_code and n.effective_from = c.effective_from
left join core.renamed_cartons as o on o.carton_code = c.carton_code
left join recent as r on r.carton_code = c.carton_code
where o.carton_code is null and coalesce(c.on_hand, 1) > 0
group by c.carton_code
union all
select
    'packing_method' as mark,
    m.packing_method as code,
    count(r.packing_method) as parcel_count
from core.current_packing_methods as m
left join recent as r on r.packing_method = m.packing_method
group by m.packing_method
order by mark, parcel_count desc, code
