"""Terms of an offer on past parcels: the same cents as the tariff's file edited by hand."""

from __future__ import annotations

from datetime import date
from functools import cache
from typing import Any

import pandas as pd
import pytest

from models.errors import TariffError
from models.tariffs.offer_terms import offered, terms_of
from models.tariffs.rules import Tariff
from pipelines.build import carrier_offers, rating
from tests.models.tariffs.price_lists import parsed, prices_text, rules_text
from tests.pipelines.build.trial_rules import LIMITS, RULES
from tests.pipelines.parcels import holding, requests, sides

TEXT = rules_text("trial", RULES, limits=LIMITS, effective_from="2025-01-01")
PARCELS: list[dict[str, Any]] = [
    *(sides(length, 20, 15) | {"scale_weight_lb": lb} for length in (30, 47, 59, 62) for lb in (3.0, 30.0, 55.0)),
    sides(50, 6, 6) | {"is_residential": True, "zone": "3", "destination_prefix": "597"},
    sides(6, 6, 6),
]
# A term, and what a person would write into the file instead: (old, new), in the rules or in the prices.
EDITS = {
    "divisor=166": ("divisor = 139.0", "divisor = 166"),
    "minimum weight=5": ("minimum_weight = 1.0", "minimum_weight = 5"),
    "long side=-50%": ("amount_cents = 1000\n", "amount_cents = 500\n"),
    "oversize=4000": ("amount_cents = 5000", "amount_cents = 4000"),
    "long side.longest_side=58": ("more_than = 48.0", "more_than = 58.0"),
    "peak=2%": ("percent = 5.0", "percent = 2.0"),
    "value=-25%": (
        "step_cents = 5000, amount_cents = 120 }\nat_most_cents = 500",
        "step_cents = 5000, amount_cents = 90 }\nat_most_cents = 375",
    ),
}


def listed(text: str = TEXT, prices: str = "") -> Tariff:
    return parsed("trial.toml", text, lambda name: prices or prices_text())


@cache
def total(tariff: Tariff) -> list[int]:
    """What each parcel is expected to cost."""
    with holding([tariff]) as connection:
        rating.rate(connection, asked())
        sql = "select expected_cents from whatif.rated order by request_id"
        return [cents for (cents,) in connection.execute(sql).fetchall()]


def asked() -> pd.DataFrame:
    return requests(*(each | {"shipped_on": date(2025, 11, 5), "declared_value_cents": 60_000} for each in PARCELS))


@pytest.mark.parametrize("term", EDITS)
def test_a_term_is_the_file_edited_by_hand(term: str) -> None:
    old, new = EDITS[term]
    assert old in TEXT
    assert total(offered(listed(), term)) == total(listed(TEXT.replace(old, new)))
    assert total(offered(listed(), term)) != total(listed())


def test_an_amount_for_missing_weight_changes_like_any_other() -> None:
    text = (
        f'{TEXT}\n[[surcharges]]\nsurcharge = "low density"\ncharge_code = "LOW DENSITY"\n'
        "per_missing_weight = { density = 6.0, step = 1.0, amount_cents = 20 }\n"
    )
    by_hand = listed(text.replace("amount_cents = 20 }", "amount_cents = 10 }"))
    assert offered(listed(text), "low density=-50%") == by_hand != listed(text)


def test_less_on_the_base_price_is_the_price_file_edited_by_hand() -> None:
    lines = prices_text().splitlines()
    cells = [line.split(",") for line in lines[1:]]
    # Whole cents, a half upwards: all prices are multiples of 10.
    edited = [f"{s},{z},{w},{(int(c) * 95 + 50) // 100 if z == '3' else c}" for s, z, w, c in cells]
    by_hand = listed(prices="\n".join([lines[0], *edited, ""]))
    assert total(offered(listed(), "base:plain:3=-5%")) == total(by_hand)


def test_fuel_can_be_lowered_or_stated() -> None:
    lowered = TEXT.replace('percent = 10.0\non = ["base", "surcharge"]', 'percent = 5.0\non = ["base", "surcharge"]')
    lowered = lowered.replace('percent = 12.5\non = ["base"]\n', 'percent = 6.25\non = ["base"]\n')
    # The discount of 12.5 % on the base price stays.
    lowered = lowered.replace("[[discounts]]\npercent = 6.25", "[[discounts]]\npercent = 12.5")
    assert total(offered(listed(), "fuel=-50%")) == total(listed(lowered))


@pytest.mark.parametrize(
    "term",
    [
        *("divisr=166", "divisor", "divisor=-5%", "long side=-150%", "base=5", "base:plain:9=-5%", "fuel:air=-5%"),
        *("home=5%", "long side.volume=5", "long side=+3", "minimum weight=1.0001", "home=1.5"),
    ],
)
def test_an_unknown_term_is_reported_with_those_there_are(term: str) -> None:
    with pytest.raises(TariffError, match="divisor=166, minimum weight=2, base=-5%, fuel=-10%, long side=-50%"):
        offered(listed(), term)


def test_every_term_that_is_listed_is_one() -> None:
    assert len({offered(listed(), term).services for term in terms_of(listed())}) == 3


def test_each_alone_and_together() -> None:
    tariff = listed()
    # Of the group one row is charged: without the threshold's parcels half the amount is worth less.
    terms = ["long side=-50%", "long side.longest_side=58", "divisor=166"]
    with holding([tariff]) as connection:
        rating.rate(connection, asked())
        connection.execute("create table rating.requests as select * from whatif.requests")
        found = carrier_offers.worth(connection, tariff, terms, date(2025, 1, 1))
    alone = [sum(total(offered(tariff, term))) - sum(total(tariff)) for term in terms]
    assert found["change_cents"].tolist()[:-1] == alone
    together = tariff
    for term in terms:
        together = offered(together, term)
    last = found.iloc[-1]
    assert last["term"] == carrier_offers.TOGETHER
    assert last["change_cents"] == sum(total(together)) - sum(total(tariff))
    assert last["alone_cents"] == sum(alone)
    assert last["change_cents"] != last["alone_cents"]
    assert found["parcel_count"].tolist() == [len(PARCELS)] * 4
