-- One row per carton of the catalogue: its entry in force on the last day of shipping on record, else the next to come.
with reached as (
    select max(d.shipped_on) as last_on
    from marts.carton_days as d
),

placed as (
    select
        c.carton_code, c.effective_from,
        row_number() over (
            partition by c.carton_code
            order by
                case when c.effective_from > r.last_on then 1 else 0 end,
                case when c.effective_from > r.last_on then c.effective_from end,
                c.effective_from desc
        ) as place
    from core.cartons as c
    cross join reached as r
)

select
    p.carton_code, p.effective_from
from placed as p
where p.place = 1
