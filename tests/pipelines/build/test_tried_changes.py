"""Near misses are tried on few classes and in few steps: here every parcel and every eighth is rated, and compared."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pandas as pd
import pytest

from models.tables.rating import PRICED
from pipelines.build import rating
from pipelines.shop import warehouse
from pipelines.shop.settings import load
from tests.shops import make_workings

EVERY_EIGHTH = """
select
    c.*,
    n.direction,
    cast(e.i as bigint) as eighth,
    c.class_key || '/' || n.direction || '/' || e.i as request_id,
    s.reach_in * n.direction * e.i / 8 as by_in,
    s.reach_lb * n.direction * e.i / 8 as by_lb
from (select distinct class_key, direction from core.near_miss_least_changes where class_key // 4 % 3 = 0) as n
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
    on a.request_id = e.class_key || '/' || e.direction || '/' || (e.eighth - 1)
left join core.near_miss_trials as t
    on t.class_key = e.class_key and t.direction = e.direction and t.eighth = e.eighth
where e.eighth > 0
"""


def changed(found: pd.DataFrame) -> pd.DataFrame:
    """The requests with the side or the weight of their change so much less or more; what would vanish is left out."""
    for change, side in (("longest side", "length_in"), ("second side", "width_in"), ("shortest side", "height_in")):
        found[side] += found["by_in"].where(found["change"] == change, 0.0)
    found["scale_weight_lb"] += found["by_lb"].where(found["change"] == "weight", 0.0)
    return found[(found[["length_in", "width_in", "height_in", "scale_weight_lb"]] > 0).all(axis=1)]


@pytest.fixture(scope="module")
def tried(demo_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[warehouse.Connection]:
    """The demo shop with what a build makes on the way to the near misses, which goes at its end."""
    folder = tmp_path_factory.mktemp("tried") / "shop"
    shutil.copytree(demo_folder, folder)
    settings = load(folder)
    with warehouse.writing(settings, "test") as connection:
        make_workings(connection, settings)
        yield connection


def test_eighths_left_out_cost_what_the_one_before_costs(tried: warehouse.Connection) -> None:
    found = changed(tried.execute(EVERY_EIGHTH).df())
    rating.rate(tried, found, "eighths", until=PRICED)
    tried.register("every_eighth", found[["request_id", "class_key", "change", "direction", "eighth"]])
    pairs, left_out, different = tried.execute(DIFFERENT).fetchall()[0]
    tried.unregister("every_eighth")
    assert pairs > 10_000
    assert left_out > pairs / 2
    assert different == 0


EVERY_PARCEL = """
select
    c.class_key,
    c.change,
    d.direction,
    e.eighth,
    r.* exclude (request_id, length_in, width_in, height_in),
    c.parcel_id || '/' || c.change || '/' || d.direction || '/' || e.eighth as request_id,
    greatest(r.length_in, r.width_in, r.height_in) as length_in,
    r.length_in + r.width_in + r.height_in - greatest(r.length_in, r.width_in, r.height_in)
    - least(r.length_in, r.width_in, r.height_in) as width_in,
    least(r.length_in, r.width_in, r.height_in) as height_in,
    s.reach_in * d.direction * e.eighth / 8 as by_in,
    s.reach_lb * d.direction * e.eighth / 8 as by_lb
from core.parcel_classes as c
inner join rating.requests as r on r.request_id = c.parcel_id
cross join (values (-1), (1)) as d(direction)
cross join (values (3), (8)) as e(eighth)
cross join shop.settings as s
where c.class_key in (select class_key from core.parcel_classes group by class_key having count(*) > 1)
"""
NOT_ALIKE = """
select count(distinct e.class_key) as classes, (
    select count(*) from (
        select i.class_key
        from every_parcel as i
        inner join alike.priced as p on p.request_id = i.request_id
        group by i.class_key, i.direction, i.eighth
        having count(distinct (p.base_cents, p.surcharge_cents, coalesce(p.lacking, ''))) > 1
    )
) as not_alike
from every_parcel as e
"""


def test_parcels_of_a_class_cost_the_same_under_its_change(tried: warehouse.Connection) -> None:
    found = changed(tried.execute(EVERY_PARCEL).df())
    rating.rate(tried, found, "alike", until=PRICED)
    tried.register("every_parcel", found[["request_id", "class_key", "direction", "eighth"]])
    classes, not_alike = tried.execute(NOT_ALIKE).fetchall()[0]
    tried.unregister("every_parcel")
    assert classes > 500
    assert not_alike == 0
