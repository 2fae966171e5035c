"""Eighths of the reach that are not rated cost what the eighth before them costs: all are rated here, and compared."""

from __future__ import annotations

from pipelines import rating, warehouse

EVERY_EIGHTH = """
select
    c.*,
    n.change,
    n.direction,
    cast(e.i as bigint) as eighth,
    c.class_key || '/' || n.change || '/' || n.direction || '/' || e.i as request_id,
    s.reach_in * n.direction * e.i / 8 as by_in,
    s.reach_lb * n.direction * e.i / 8 as by_lb
from (select distinct class_key, change, direction from core.near_changes where class_key % 4 = 0) as n
inner join core.class_parcels as c on c.class_key = n.class_key
cross join range(9) as e(i)
cross join shop.settings as s
"""
DIFFERENT = """
select count(*) as pairs, count(case when t.eighth is null then 1 end) as left_out,
    count(
        case
            when t.eighth is null
                and (b.base_cents, b.surcharge_cents, b.lacking)
                is distinct from (a.base_cents, a.surcharge_cents, a.lacking)
                then 1
        end
    ) as different
from every_eighth as e
inner join eighths.priced as b on b.request_id = e.request_id
inner join eighths.priced as a
    on a.request_id = e.class_key || '/' || e.change || '/' || e.direction || '/' || (e.eighth - 1)
left join core.tried_changes as t
    on t.class_key = e.class_key and t.change = e.change and t.direction = e.direction and t.eighth = e.eighth
where e.eighth > 0
"""


def test_eighths_left_out_cost_what_the_one_before_costs(demo: warehouse.Connection) -> None:
    found = demo.execute(EVERY_EIGHTH).df()
    for change, side in (("longest side", "length_in"), ("second side", "width_in"), ("shortest side", "height_in")):
        found[side] += found["by_in"].where(found["change"] == change, 0.0)
    found["scale_weight_lb"] += found["by_lb"].where(found["change"] == "weight", 0.0)
    rating.rate(demo, found, "eighths", lines=False)
    demo.register("every_eighth", found[["request_id", "class_key", "change", "direction", "eighth"]])
    pairs, left_out, different = demo.execute(DIFFERENT).fetchall()[0]
    demo.unregister("every_eighth")
    assert pairs > 10_000
    assert left_out > pairs / 2
    assert different == 0
