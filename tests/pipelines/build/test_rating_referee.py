"""The rating against a literal reading of the same tariffs, and what holds for every parcel."""

from __future__ import annotations

import random
import tomllib
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.contracts import validated
from models.tables import TABLES
from pipelines.build import rating
from pipelines.shop import warehouse
from sample_data import literal_rating
from tests.models.tariffs.price_lists import parsed
from tests.models.tariffs.shown import hold_shown
from tests.pipelines.build.random_tariffs import random_prices, random_rules
from tests.pipelines.parcels import DEMO, demo_tariffs, holding, random_parcel, rated_rows, requests, sides
from tests.sampling import tries


@pytest.fixture(scope="module")
def demo() -> Iterator[warehouse.Connection]:
    with holding(demo_tariffs()) as connection:
        yield connection


def test_kinds_add_up_and_contracts_hold(demo: warehouse.Connection) -> None:
    many = requests(
        *(random_parcel(random.Random(n), "Northline", ("ground", "express"), "2345678") for n in range(200))
    )
    rating.rate(demo, many)
    for name, contract in TABLES.items():
        schema, table = name.split(".")
        if schema == "rating" or table == "expected_charges":
            validated(demo.execute(f"select * from whatif.{table}").df(), contract, "this test")
    assert demo.execute("select count(*) from whatif.rated").fetchall() == [(200,)]
    wrong = demo.execute(
        "select count(*) from whatif.rated where expected_cents <> base_cents + surcharge_cents + fuel_cents"
    ).fetchall()
    by_lines = demo.execute(
        "select count(*) from whatif.rated as r left join (select parcel_id, sum(amount_cents) as cents "
        "from whatif.expected_charges group by parcel_id) as l on l.parcel_id = r.request_id "
        "where r.expected_cents is distinct from l.cents"
    ).fetchall()
    assert (wrong, by_lines) == ([(0,)], [(0,)])


def literal(row: Any, found: list[literal_rating.Tariff]) -> literal_rating.Rated | None:
    chosen = literal_rating.tariff_on(found, row.carrier, row.shipped_on)
    parcel = literal_rating.Parcel(
        row.service,
        row.zone,
        row.shipped_on,
        (row.length_in, row.width_in, row.height_in),
        row.scale_weight_lb,
        row.is_rectangular,
        row.is_residential,
        row.destination_prefix,
        row.declared_value_cents,
    )
    return literal_rating.rate(parcel, chosen) if chosen else None


def test_a_literal_reading_of_the_demo_tariffs_agrees_line_by_line(demo: warehouse.Connection) -> None:
    source = random.Random(2_025)
    asked = requests(
        *(random_parcel(source, "Northline", ("ground", "express"), "2345678") for _ in range(150)),
        *(random_parcel(source, "Corvane", ("economy", "standard"), "2345678") for _ in range(150)),
    )
    read = [literal_rating.read_tariff(file) for file in sorted(DEMO.glob("*.toml"))]
    assert 0 < unpriced_where_all_agree(demo, asked, read) < len(asked) / 2


@pytest.mark.parametrize("seed", range(tries(30)))
def test_a_literal_reading_of_random_tariffs_agrees_line_by_line(seed: int, tmp_path: Path) -> None:
    source = random.Random(seed)
    rules = random_rules(source, "trial")
    heaviest = {"lb": 90, "kg": 40, "oz": 1_400, "g": 40_000}[tomllib.loads(rules)["weight_unit"]]
    prices = random_prices(source, heaviest)
    (tmp_path / "trial.toml").write_text(rules, encoding="utf-8")
    (tmp_path / "trial.csv").write_text(prices, encoding="utf-8")
    asked = requests(*(random_parcel(source, "trial", ("plain",), "23") for _ in range(80)))
    tariff = parsed("trial.toml", rules, lambda name: prices)
    hold_shown(tariff)
    with holding([tariff]) as connection:
        read = [literal_rating.read_tariff(tmp_path / "trial.toml")]
        assert unpriced_where_all_agree(connection, asked, read) < len(asked)


def unpriced_where_all_agree(
    connection: warehouse.Connection, asked: pd.DataFrame, read: list[literal_rating.Tariff]
) -> int:
    """Every request has the referee's lines, total and billed weight; returns how many both refuse to price."""
    rows = rated_rows(connection, asked).set_index("request_id")
    found = connection.execute("select * from whatif.expected_charges").df().fillna({"charge_code": ""})
    charged = {name: sorted(_lines(group)) for name, group in found.groupby("parcel_id")}
    unpriced = 0
    row: Any
    for row in asked.itertuples(index=False):
        referee = literal(row, read)
        assert referee is not None
        said = sorted((line.kind, line.name, line.charge_code, line.amount_cents) for line in referee.lines)
        assert charged.get(row.request_id, []) == said
        assert pd.isna(rows.loc[row.request_id, "expected_cents"]) == bool(referee.reason)
        unpriced += bool(referee.reason)
        if not referee.reason:
            assert rows.loc[row.request_id, "billed_weight"] == float(referee.billed_weight)
    return unpriced


def _lines(group: pd.DataFrame) -> list[tuple[Any, ...]]:
    names = ["charge_kind", "charge_name", "charge_code", "amount_cents"]
    return list(group[names].itertuples(index=False, name=None))


SIDE = st.integers(4, 220).map(lambda quarters: quarters / 4)
WEIGHT = st.integers(1, 280).map(lambda quarters: quarters / 4)
GROWTH = st.sampled_from([0.0, 0.25, 1.0, 7.5])
PARCELS = st.lists(
    st.tuples(SIDE, SIDE, SIDE, WEIGHT, st.lists(GROWTH, min_size=4, max_size=4)), min_size=30, max_size=30
)
Drawn = list[tuple[float, float, float, float, list[float]]]
DAY = {"carrier": "Northline", "service": "ground", "zone": "5", "shipped_on": date(2026, 5, 4)}


def totals(connection: warehouse.Connection, *stated: dict[str, Any]) -> np.ndarray[Any, np.dtype[np.float64]]:
    """Expected cents of each request; not a number where there is no price."""
    cents = rated_rows(connection, requests(*stated))["expected_cents"]
    return np.asarray(cents.to_numpy(dtype=np.float64, na_value=np.nan))


def test_an_inch_and_a_pound_more_cost_more(demo: warehouse.Connection) -> None:
    found = totals(
        demo,
        *(sides(length, 8, 8) | DAY | {"scale_weight_lb": weight} for length, weight in ((48, 30), (49, 30), (48, 31))),
    )
    assert (found[1:] > found[0]).all()


@settings(derandomize=True, deadline=None, max_examples=tries(12))
@given(PARCELS)
def test_price_does_not_fall_as_a_parcel_grows(demo: warehouse.Connection, drawn: Drawn) -> None:
    """Within one tariff of the demo shop's inch carrier, whose ranks and amounts rise together."""
    small = [sides(a, b, c) | DAY | {"scale_weight_lb": weight} for a, b, c, weight, _ in drawn]
    large = [
        sides(a + more[0], b + more[1], c + more[2]) | DAY | {"scale_weight_lb": weight + more[3]}
        for a, b, c, weight, more in drawn
    ]
    before, after = np.split(totals(demo, *small, *large), 2)
    assert not (after < before).any()
    assert not (np.isnan(before) & ~np.isnan(after)).any()


@settings(derandomize=True, deadline=None, max_examples=tries(6))
@given(PARCELS)
def test_turning_a_parcel_changes_nothing(demo: warehouse.Connection, drawn: Drawn) -> None:
    turns = [
        [sides(*turned) | DAY | {"scale_weight_lb": weight} for turned in ((a, b, c), (b, c, a), (c, b, a))]
        for a, b, c, weight, _ in drawn
    ]
    found = totals(demo, *(each for parcel in turns for each in parcel)).reshape(-1, 3)
    assert np.array_equal(found[:, 0], found[:, 1], equal_nan=True)
    assert np.array_equal(found[:, 0], found[:, 2], equal_nan=True)


@settings(derandomize=True, deadline=None, max_examples=tries(6))
@given(st.lists(st.tuples(*[st.integers(5, 120)] * 3, st.integers(1, 60)), min_size=30, max_size=30))
def test_metric_and_inch_input_rate_the_same(
    demo: warehouse.Connection, drawn: list[tuple[int, int, int, int]]
) -> None:
    """Whole inches and pounds that went through centimetres and kilograms come back to the same price."""
    inch = [sides(a, b, c) | DAY | {"scale_weight_lb": float(weight)} for a, b, c, weight in drawn]
    metric = [
        sides(*(round(side * 2.54, 2) / 2.54 for side in (a, b, c)))
        | DAY
        | {"scale_weight_lb": round(weight * 0.45359237, 8) / 0.45359237}
        for a, b, c, weight in drawn
    ]
    before, after = np.split(totals(demo, *inch, *metric), 2)
    assert np.array_equal(before, after, equal_nan=True)
