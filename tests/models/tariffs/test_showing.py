"""A tariff shown to its reader: the printed example, cell by cell."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from dashboards import formats
from models.tariffs import showing
from models.tariffs.charges import Condition
from models.tariffs.price_file import learned_mark
from models.tariffs.reference import EXAMPLE
from tests.models.tariffs.price_lists import parsed, prices_text, tariff
from tests.models.tariffs.test_reference import CHART

FOUND = parsed(
    "northline-2026.toml",
    EXAMPLE,
    lambda name: CHART if "zones" in name else prices_text(zones=("2", "3", "4")).replace("plain", "ground"),
)
TABLES = showing.rule_tables(FOUND, str)


def test_the_heading_says_whose_price_list_it_is_and_for_which_days() -> None:
    assert showing.heading(FOUND) == (
        "northline-2026 of Northline, from 2026-01-12 to 2027-01-10. Source: Price list of 12 January 2026."
    )


def test_learned_prices_say_from_which_days() -> None:
    mark = learned_mark(date(2025, 1, 1), date(2025, 12, 31), "lb")
    learned = tariff(prices=f"{mark}\n{prices_text()}")
    assert "learned from bills of parcels shipped 2025-01-01 to 2025-12-31" in showing.heading(learned)
    assert "learned" not in showing.heading(tariff())


def test_every_service_shows_how_it_rounds_and_what_it_refuses() -> None:
    (row,) = TABLES["services (in, lb)"].to_dict("records")
    assert (row["service"], row["sides rounded"], row["divisor"], row["weight step"]) == ("ground", "up", 139, 1)
    assert row["limits"] == "longest side 108, length plus girth 165, scale weight 150"


def test_every_surcharge_shows_when_it_applies_and_what_it_costs() -> None:
    rows = TABLES["surcharges"].set_index("surcharge")
    assert rows["when"]["long side"] == (
        "longest side more than 48; or second side more than 30 and scale weight at least 20"
    )
    assert rows["zones"].to_dict() == {
        "long side": "2, 3, 4",
        "weight": "4",
        "low density": "4",
        "season": "all",
        "remote area": "all",
        "declared value": "all",
    }
    assert rows["amount"].to_dict() == {
        "long side": "1850, at least 500, at most 9000",
        "weight": "12.5 for each 1 of weight begun above 30",
        "low density": "15 for each 1 of weight begun that is missing to density 6.0",
        "season": "6% of surcharge",
        "remote area": "1240",
        "declared value": "120 for each 10000 begun above 10000",
    }
    assert rows["only"]["remote area"] == "homes, area remote"
    assert rows["only"]["season"] == "2026-10-05 to 2027-01-10"
    assert (rows["group"]["long side"], rows["bills at least"]["long side"]) == ("handling 1", 40)


def test_discounts_and_fuel_are_in_percent_from_their_day() -> None:
    discount, besides = TABLES["discounts"].to_dict("records")
    assert discount == {
        "on": "base",
        "services": "ground",
        "percent": 12.0,
        "not below": "890",
        "from": "2026-01-12",
        "to": "2026-12-31",
        "stacked": "",
        "billed weight": "up to 70",
        "zones": "2, 3",
    }
    assert (besides["percent"], besides["stacked"], besides["billed weight"]) == (5.0, "after", "")
    assert TABLES["fuel"].to_dict("records") == [
        {"from": "2026-01-12", "percent": 14.25, "on": "base, surcharge", "services": "ground"}
    ]
    assert TABLES["tax"].to_dict("records") == [
        {"from": "2026-01-12", "percent": 19.0, "zones": "2, 3, 4", "services": "all"}
    ]


def test_prices_stand_by_weight_and_zone_as_the_file_has_them() -> None:
    (title, grid), *others = showing.price_grids(FOUND, str).items()
    assert not others and title == "ground: prices by lb"
    assert grid.columns.tolist() == ["up to", "zone 2", "zone 3", "zone 4"]
    by_place = {(row.up_to_milli / 1_000, row.zone): row.price_cents for row in FOUND.prices}
    assert len(by_place) == grid.shape[0] * 3
    for row in grid.to_dict("records"):
        assert [row[f"zone {zone}"] for zone in "234"] == [str(by_place[row["up to"], zone]) for zone in "234"]
    assert grid["up to"].is_monotonic_increasing


@pytest.mark.parametrize(
    ("condition", "said"),
    [
        (Condition("longest_side", False, 48_000), "longest side more than 48"),
        (Condition("length_plus_girth", True, 130_500), "length plus girth at least 130.5"),
    ],
)
def test_a_condition_in_words(condition: Condition, said: str) -> None:
    assert showing.words(condition) == said


@pytest.mark.parametrize(
    ("millicents", "currency", "said"),
    [(12_500, "USD", "$0.125"), (50_000, "JPY", "¥50"), (1_234_000, "CHF", "CHF 12.34"), (500, "JPY", "¥0.5")],
)
def test_parts_of_a_cent_are_money_of_the_list(millicents: int, currency: str, said: str) -> None:
    assert formats.fine_money(Decimal(millicents) / 1_000, currency) == said
