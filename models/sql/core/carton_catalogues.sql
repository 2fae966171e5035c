-- One row per day on which an entry of the carton catalogue begins: the catalogue that holds from it until the next.
with begun as (
    select distinct c.effective_from
    from core.cartons as c
)

select
    b.effective_from,
    lead(b.effective_from) over (order by b.effective_from) as effective_before
from begun as b
