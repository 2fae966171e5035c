"""Comparisons of prices learned from bills say how far they may be off; those of a published list do not."""

from __future__ import annotations

from datetime import date

import pandas as pd
import pytest

from models.tariffs.price_file import learned_mark
from models.tariffs.rules import Tariff
from pipelines.build import carrier_offers, rating, tariffs
from pipelines.shop import warehouse
from tests.models.tariffs.price_lists import parsed, prices_text, rules_text
from tests.pipelines.build.shipped_together import parcel
from tests.shops import built

MARK = learned_mark(date(2025, 1, 1), date(2025, 12, 31), "lb")
RULES = """
[[fuel]]
from = 2000-01-01
percent = 10.0
on = ["base"]

[[surcharges]]
surcharge = "home"
charge_code = "HOME"
residential = true
amount_cents = 300
"""
# A dollar a pound, and 4 cents a pound either way; 8 pounds and more are not known so well.
ROWS = [f"plain,2,{n},{100 * n},{4 * n},{12 * n}" for n in range(1, 21)]
LEARNED = "\n".join([MARK, "service,zone,up_to_weight,price_cents,interval_cents,miss_cents", *ROWS, ""])
PARCELS = [parcel("P1", 5, None), parcel("P2", 10, None, is_residential=True)]


def listed(prices: str) -> Tariff:
    return parsed("trial.toml", rules_text("trial", RULES), lambda name: prices)


def offer(prices: str, *terms: str) -> pd.DataFrame:
    """The terms on parcels of 5 and 10 pounds, which the volume of 216 in3 does not outweigh."""
    tariff = listed(prices)
    with built(price_lists=[tariff], weights=PARCELS, needed=("rating.rated",)) as connection:
        return carrier_offers.worth(connection, tariff, terms, date(2026, 1, 1)).set_index("term")


def test_a_term_on_learned_prices_says_how_far_its_worth_may_be_off() -> None:
    found = offer(LEARNED, "base=-50%", "home=-50%", "divisor=10")
    # Half of 20 and 40 cents, with fuel; nothing; 216 in3 over 10 are 22 lb, beyond the prices; nothing is compared.
    assert found["within_cents"].tolist()[:2] == [33, 0]
    assert found["learned_count"].tolist() == [2, 2, 0, 0]
    # 18 lb for both: of the old and the new price either may be too high. 22 + 79.2 and 44 + 79.2 cents.
    assert offer(LEARNED, "divisor=12")["within_cents"].tolist() == [225, 225]


def test_a_published_list_is_not_off() -> None:
    found = offer(prices_text(), "base=-50%")
    assert found["within_cents"].isna().all()
    assert (found["learned_count"] == 0).all()


def test_learned_prices_without_an_interval_leave_it_open() -> None:
    bare = LEARNED.replace(",interval_cents,miss_cents", "")
    bare = "\n".join(",".join(row.split(",")[:4]) if row.startswith("plain") else row for row in bare.splitlines())
    found = offer(f"{bare}\n", "home=-50%")
    assert found["within_cents"].isna().all()
    assert (found["learned_count"] == 2).all()


@pytest.fixture(scope="module")
def compared() -> dict[str, pd.DataFrame]:
    """A list that costs 10 cents a pound more, beside learned prices."""
    with built(price_lists=[listed(LEARNED)], weights=PARCELS, needed=("core.expected_charges",)) as connection:
        return _compare(connection, listed(prices_text(rate=110)))


def _compare(connection: warehouse.Connection, announced: Tariff) -> dict[str, pd.DataFrame]:
    tariffs.write(connection, [announced], schema="announced")
    return rating.compare(connection, date(2026, 1, 1))


def test_an_announced_list_beside_learned_prices_says_how_far_the_change_may_be_off(
    compared: dict[str, pd.DataFrame],
) -> None:
    # 20 and 40 cents, and a tenth of them as fuel.
    assert compared["totals"][["change_cents", "learned_count", "within_cents"]].values.tolist() == [[165, 2, 66]]
    assert compared["by_zone"]["within_cents"].tolist() == [66]
    assert compared["by_item_type"]["within_cents"].tolist() == [66]
    by_charge = compared["by_charge"].set_index("charge_name")["within_cents"]
    assert (by_charge["base"], by_charge["fuel"]) == (60, 6)
    assert pd.isna(by_charge["home"])


def test_published_lists_beside_each_other_are_not_off() -> None:
    with built(price_lists=[listed(prices_text())], weights=PARCELS, needed=("core.expected_charges",)) as connection:
        found = _compare(connection, listed(prices_text(rate=110)))
    assert found["totals"]["within_cents"].isna().all()
    assert found["by_charge"]["within_cents"].isna().all()
