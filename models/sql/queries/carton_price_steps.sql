-- One row per carton and quantity from which a price applies: the price list in force on the last day of the bench log.
with latest as (
    select
        p.carton_code,
        max(p.effective_from) as effective_from
    from accepted.carton_prices as p
    where p.effective_from <= (select max(d.shipped_on) from marts.carton_days as d)
    group by p.carton_code
)

select p.carton_code, p.minimum_quantity, p.unit_cost_cents
from accepted.carton_prices as p
inner join latest as l on l.carton_code = p.carton_code and l.effective_from = p.effective_from
