"""The rating's meaning by given parcels and expected cents, for each rule that a tariff can state."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from models.errors import ContractError
from models.tables.rating import PRICED
from pipelines.build import rating
from pipelines.shop import warehouse
from tests.models.tariffs.price_lists import tariff
from tests.pipelines.build.trial_rules import LIMITS, RULES
from tests.pipelines.parcels import holding, rated, rated_rows, requests, sides

JUNE, AUGUST, DECEMBER = date(2025, 6, 2), date(2025, 8, 4), date(2025, 12, 8)
Line = tuple[str, str, int]


@pytest.fixture(scope="module")
def trial() -> Iterator[warehouse.Connection]:
    with holding([tariff(rest=RULES, limits=LIMITS, effective_from="2025-01-01")]) as connection:
        yield connection


def lines(connection: warehouse.Connection, **stated: Any) -> list[Line]:
    """The expected charge lines of one parcel: kind, name, cents."""
    rating.rate(connection, requests(stated))
    found = connection.execute("select * from whatif.expected_charges order by line_number").df()
    return list(found[["charge_kind", "charge_name", "amount_cents"]].itertuples(index=False, name=None))


@pytest.mark.parametrize(
    ("stated", "expected"),
    [
        # 12 x 8 x 4 in weigh 2.76 lb by volume: 3 lb; 12.5 % of 300 are 37.5, half up 38; fuel 10 % of 262 is 26.2.
        ({}, [("base", "base", 300), ("base", "discount", -38), ("fuel", "fuel", 26)]),
        # One lb: the discount stops at 90 cents.
        (sides(4, 4, 4), [("base", "base", 100), ("base", "discount", -10), ("fuel", "fuel", 9)]),
        (
            sides(49, 4, 4) | {"shipped_on": AUGUST},
            [
                ("base", "base", 600),
                ("base", "discount", -75),
                ("surcharge", "long side", 1000),
                ("surcharge", "discount", -100),
                ("fuel", "fuel", 143),
            ],
        ),
        # Only the highest rank of the group is charged, and it bills at least 40 lb.
        (
            sides(61, 4, 4),
            [
                ("base", "base", 4000),
                ("base", "discount", -500),
                ("surcharge", "oversize", 5000),
                ("fuel", "fuel", 850),
            ],
        ),
        # Fifty pounds are at least fifty.
        (
            sides(4, 4, 4) | {"scale_weight_lb": 50.0},
            [
                ("base", "base", 5000),
                ("base", "discount", -625),
                ("surcharge", "oversize", 5000),
                ("fuel", "fuel", 938),
            ],
        ),
        # 15,001 cents begin a second step above 10,000.
        (
            sides(4, 4, 4) | {"is_residential": True, "destination_prefix": "597", "declared_value_cents": 15_001},
            [
                ("base", "base", 100),
                ("base", "discount", -10),
                ("surcharge", "home", 300),
                ("surcharge", "far", 700),
                ("surcharge", "value", 240),
                ("fuel", "fuel", 133),
            ],
        ),
        # The cap.
        (
            sides(4, 4, 4) | {"declared_value_cents": 1_000_000},
            [("base", "base", 100), ("base", "discount", -10), ("surcharge", "value", 500), ("fuel", "fuel", 59)],
        ),
        # A share comes after discounts and fixed surcharges; fuel of December is on the base alone.
        (
            sides(49, 4, 4) | {"shipped_on": DECEMBER},
            [
                ("base", "base", 600),
                ("base", "discount", -75),
                ("surcharge", "long side", 1000),
                ("surcharge", "peak", 71),
                ("surcharge", "discount", -100),
                ("fuel", "fuel", 66),
            ],
        ),
        # Both conditions of an alternative must hold: 20.14 lb by volume are 21.
        (
            sides(20, 14, 10),
            [("base", "base", 2100), ("base", "discount", -263), ("surcharge", "dense", 90), ("fuel", "fuel", 193)],
        ),
        (
            sides(12, 12, 12) | {"scale_weight_lb": 21.0},
            [("base", "base", 2100), ("base", "discount", -263), ("fuel", "fuel", 184)],
        ),
    ],
)
def test_a_parcel_costs_what_the_tariff_says(
    trial: warehouse.Connection, stated: dict[str, Any], expected: list[Line]
) -> None:
    assert lines(trial, **stated) == expected


def test_a_line_says_why_it_applies(trial: warehouse.Connection) -> None:
    rating.rate(trial, requests(sides(49, 4, 4) | {"declared_value_cents": 20_000, "is_residential": True}))
    found = trial.execute("select * from whatif.expected_charges").df().set_index("charge_name")
    why = ["measure", "measured", "threshold"]
    assert found.loc[["long side"], why].to_numpy().tolist() == [["longest_side", 49.0, 48.0]]
    assert found.loc[["value"], why].to_numpy().tolist() == [["declared_value", 20_000, 10_000]]
    assert found.loc["home", "measure"] == "residential"
    assert found.loc[["base"], why[:2]].to_numpy().tolist() == [["billed_weight", 6.0]]
    assert found.loc["long side", "charge_code"] == "LONG"


@pytest.mark.parametrize(
    ("stated", "lacking"),
    [
        ({"shipped_on": date(2024, 12, 31)}, "no tariff on that day"),
        ({"carrier": "nobody"}, "no tariff on that day"),
        ({"service": "overnight"}, "service not in the tariff"),
        ({"service": None}, "service unknown"),
        ({"zone": "9"}, "zone not in the tariff"),
        ({"zone": None}, "zone unknown"),
        ({"length_in": None, "width_in": None, "height_in": None}, "sides unknown"),
        ({"scale_weight_lb": None}, "weight unknown"),
        (sides(109, 4, 4), "beyond limit: longest_side"),
        ({"scale_weight_lb": 150.5}, "beyond limit: scale_weight"),
        (sides(100, 30, 30), "weight beyond the prices"),
    ],
)
def test_what_cannot_be_priced_is_listed_and_never_free(
    trial: warehouse.Connection, stated: dict[str, Any], lacking: str
) -> None:
    found = rated_rows(trial, requests(stated, {})).set_index("request_id")
    assert found.loc["R000000", "lacking"] == lacking
    assert found.loc["R000000", ["base_cents", "surcharge_cents", "fuel_cents", "expected_cents"]].isna().all()
    assert found.loc["R000001", "expected_cents"] == 288
    charged = trial.execute("select distinct parcel_id from whatif.expected_charges").fetchall()
    assert charged == [("R000001",)]


def test_weights_and_sides_come_in_the_tariffs_units_and_in_pounds(trial: warehouse.Connection) -> None:
    found = rated_rows(trial, requests(sides(4.2, 60.5, 4))).iloc[0]
    assert found[["longest_side", "second_side", "shortest_side", "length_plus_girth"]].tolist() == [61, 5, 4, 79]
    assert found[["rated_weight_lb", "billable_weight_lb"]].tolist() == [9.0, 40.0]
    assert found["dim_weight"] == pytest.approx(61 * 5 * 4 / 139, abs=0.0005)


def test_the_tariff_of_the_day_of_shipping_counts() -> None:
    old = tariff("old", effective_to="2025-06-30", divisor=166.0)
    new = tariff("new", effective_from="2025-07-01", divisor=139.0)
    both = [replace(each, carrier="trial") for each in (old, new)]
    found = rated(
        both,
        sides(16, 12, 12) | {"shipped_on": date(2025, 6, 30)},
        sides(16, 12, 12) | {"shipped_on": date(2025, 7, 1)},
    )
    assert found["tariff_code"].tolist() == ["old", "new"]
    assert found["rated_weight"].tolist() == [14.0, 17.0]


def test_a_table_may_be_rated_without_its_lines(trial: warehouse.Connection) -> None:
    frame = requests(*({"zone": zone} for zone in "2323"))
    trial.register("asked_frame", frame)
    trial.execute("create or replace table core.asked as select * from asked_frame")
    rating.rate(trial, "core.asked", until=PRICED)
    assert trial.execute("select expected_cents from whatif.priced order by request_id").fetchall() == [
        (288,),
        (318,),
        (288,),
        (318,),
    ]


def test_a_schema_of_the_warehouse_is_filled_where_it_exists(trial: warehouse.Connection) -> None:
    trial.execute("create schema if not exists asked")
    rating.rate(trial, requests({}), schema="asked")
    assert trial.execute("select expected_cents from asked.rated").fetchall() == [(288,)]


def test_missing_columns_are_named() -> None:
    with warehouse.scratch() as connection, pytest.raises(ContractError, match="lacks shipped_on"):
        rating.rate(connection, requests({}).drop(columns="shipped_on"))
