"""Measures, comparisons and sizes that a tariff can state, by given parcels and expected cents."""

from __future__ import annotations

from typing import Any

import pytest

from models.tariffs.checks import checked
from models.tariffs.rules import SIZE_MEASURES
from tests.models.tariffs.price_lists import tariff
from tests.pipelines.parcels import rated, sides

ROW = '[[surcharges]]\nsurcharge = "row"\ncharge_code = "ROW"\nwhen = [[{condition}]]\namount_cents = 500\n'
# 12 x 9 x 8: 29 in all, 20 the longest and the shortest, 17 from corner to corner.
BOX = sides(12, 9, 8)


@pytest.mark.parametrize(
    ("condition", "stated", "applies"),
    [
        ('{ measure = "sum_of_sides", more_than = 28.9 }', BOX, True),
        ('{ measure = "sum_of_sides", more_than = 29.0 }', BOX, False),
        ('{ measure = "sum_of_sides", at_least = 29.0 }', BOX, True),
        ('{ measure = "sum_of_sides", at_most = 29.0 }', BOX, True),
        ('{ measure = "sum_of_sides", less_than = 29.0 }', BOX, False),
        ('{ measure = "longest_plus_shortest", at_most = 20.0 }', BOX, True),
        ('{ measure = "longest_plus_shortest", less_than = 20.0 }', BOX, False),
        ('{ measure = "diagonal", at_least = 17.0 }', BOX, True),
        ('{ measure = "diagonal", more_than = 17.0 }', BOX, False),
        ("{ rectangular = false }", {"is_rectangular": False}, True),
        ("{ rectangular = false }", {"is_rectangular": True}, False),
        ("{ rectangular = true }", {"is_rectangular": True}, True),
        ('{ measure = "scale_weight", at_most = 1.0 }', {"scale_weight_lb": 1.0}, True),
        ('{ measure = "scale_weight", less_than = 1.0 }', {"scale_weight_lb": 1.0}, False),
        # What is wanted and unwanted at once never holds.
        ('{ measure = "sum_of_sides", more_than = 20.0 }, { measure = "sum_of_sides", at_most = 20.0 }', BOX, False),
    ],
)
def test_a_condition_holds_as_it_reads(condition: str, stated: dict[str, Any], applies: bool) -> None:
    (cents,) = rated([tariff(rest=ROW.format(condition=condition))], stated)["surcharge_cents"].tolist()
    assert cents == (500 if applies else 0)


CLASSES = """
[[classes]]
class = "S"
at_most = { sum_of_sides = 24.0, scale_weight = 4.0 }

[[classes]]
class = "M"
at_most = { sum_of_sides = 30.0, scale_weight = 10.0 }
"""
SIZED = "service,zone,class,up_to_weight,price_cents\nplain,2,S,10,400\nplain,2,M,10,700\nplain,3,,10,900\n"


def test_prices_go_by_the_first_size_that_fits() -> None:
    found = rated(
        [tariff(rest=CLASSES, prices=SIZED)],
        sides(10, 8, 6),
        sides(10, 8, 7),
        sides(10, 8, 6) | {"scale_weight_lb": 5.0},
        sides(10, 8, 6) | {"zone": "3"},
        sides(20, 8, 6),
    )
    assert found["base_cents"].tolist()[:4] == [400, 700, 700, 900]
    assert found["lacking"].tolist()[4] == "no size fits"


def test_volume_may_weigh_nothing_and_a_parcel_may_be_too_small() -> None:
    listed = tariff(divisor="none", limits="minimums = { longest_side = 6.0 }")
    found = rated([listed], sides(40, 20, 20), sides(6, 6, 6), sides(5, 5, 5))
    assert found["rated_weight"].tolist()[:2] == [1.0, 1.0]
    assert found["dim_weight"].tolist()[0] == 0
    assert found["lacking"].tolist()[2] == "below minimum: longest_side"


def test_a_service_may_state_hundreds_of_conditions() -> None:
    rows = [
        ROW.format(condition=f'{{ measure = "longest_side", more_than = {10 + n / 4} }}') + f'group = "g"\nrank = {n}\n'
        for n in range(200)
    ]
    listed = tariff(rest="".join(row.replace("500", str(n)) for n, row in enumerate(rows, 1)))
    assert not [each for each in checked(listed) if "conditions" in each.what]
    found = rated([listed], *(sides(longest, 4, 4) for longest in (10, 11, 30, 60, 90)))
    # 10.25 to 10.75 lie between 10 and 11; sides are rounded up to whole inches.
    assert found["surcharge_cents"].tolist() == [0, 4, 80, 200, 200]


def test_conditions_beyond_what_one_number_holds_are_reported() -> None:
    measures = [*SIZE_MEASURES, "scale_weight", "rated_weight"]
    rows = "".join(
        ROW.format(condition=f'{{ measure = "{measure}", more_than = {n}.5 }}')
        for measure in measures
        if measure != "not_rectangular"
        for n in range(32)
    )
    assert [each.level for each in checked(tariff(rest=rows)) if "66 bits" in each.what] == ["stop"]
