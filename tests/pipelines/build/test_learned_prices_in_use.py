"""A shop without price lists: what could be learned is shown; what is learned prices parcels and says its error."""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path

import pandas as pd
import pytest

from dashboards.explanation import explanation
from dashboards.formats import money
from models.analyses import ANALYSES
from models.plain_rows import as_dicts
from models.shop_units import Units
from models.tariffs.price_file import learned_mark
from models.tariffs.rules import Tariff
from models.tariffs.showing import heading
from pipelines.build import analysing, learning_prices
from pipelines.review import explaining
from pipelines.shop import warehouse
from tests.models.tariffs.price_lists import tariff
from tests.pipelines.build.billed_shops import billed_shop
from tests.pipelines.build.learned_shops import outcome, taught
from tests.shops import Rows, built, table

ASKED = learning_prices.Asked("trial", date(2025, 1, 1), date(2025, 12, 31))
CURVES = "analysis.rate_curves"
# What the curves and the learning of prices read.
CURVES_NEED = (
    *("core.base_charge_days", "core.charge_lines", "core.parcels", "core.shipment_parcels", "marts.record_states"),
    "rating.rated",
)


def weights() -> Rows:
    """Sixty parcels of 3 to 22 lb in May 2025 and one in 2026, on the scale what they are billed."""
    common = {"carrier": "trial", "service": "plain", "zone": "2", "length_in": 2.0, "width_in": 2.0, "height_in": 2.0}
    return [
        {**common, "parcel_id": f"P{n}", "sale_id": f"S{n}", "scale_weight_lb": float(3 + n % 20)}
        | {"shipped_on": "2026-02-03" if n == 60 else "2025-05-05"}
        for n in range(61)
    ]


def charges() -> Rows:
    """500 cents and 40 a pound; every third bill a dollar more. The carrier names neither day, service nor zone."""
    return [
        {"carrier": "trial", "parcel_id": f"P{n}", "charge_kind": "base", "billed_weight_lb": float(3 + n % 20)}
        | {"amount_cents": 500 + 40 * (3 + n % 20) + (100 if n % 3 == 0 else 0), "invoiced_on": "2026-02-09"}
        for n in range(61)
    ]


def shop(*price_lists: Tariff, needed: Sequence[str] = CURVES_NEED) -> Iterator[warehouse.Connection]:
    with built(price_lists=price_lists, needed=needed, weights=weights(), charges=charges()) as connection:
        analysing.analyse(connection, {}, [each for each in ANALYSES if each.name == "rate curves"])
        yield connection


@pytest.fixture(scope="module")
def unlisted() -> Iterator[warehouse.Connection]:
    yield from shop()


@pytest.fixture(scope="module")
def price_file(unlisted: warehouse.Connection, tmp_path_factory: pytest.TempPathFactory) -> Path:
    file = tmp_path_factory.mktemp("learned") / "learned.csv"
    learning_prices.write(learning_prices.learn(unlisted, ASKED, "USD", file.stem), file.parent)
    return file


@pytest.fixture(scope="module")
def listed(price_file: Path) -> Iterator[warehouse.Connection]:
    yield from shop(tariff(prices=price_file.read_text(encoding="utf-8")), needed=())


def test_days_without_a_price_list_are_shown_by_year_and_not_in_use(unlisted: warehouse.Connection) -> None:
    found = table(unlisted, CURVES)
    assert found["learned_first_on"].dt.strftime("%Y-%m-%d").tolist() == ["2025-05-05", "2026-02-03"]
    assert found["bill_count"].tolist() == [60, 1]
    assert found["is_in_use"].tolist() == [False, False]
    assert found["tariff_code"].isna().all()
    assert unlisted.execute("select count(expected_cents) from rating.rated").fetchall() == [(0,)]


def test_the_error_in_the_review_is_the_one_that_learning_printed(
    unlisted: warehouse.Connection, listed: warehouse.Connection
) -> None:
    printed = learning_prices.report(learning_prices.learn(unlisted, ASKED, "USD", "again"))
    found = table(listed, CURVES)
    assert found[["tariff_code", "zone", "is_in_use", "bill_count"]].values.tolist() == [["trial", "2", True, 60]]
    assert 20 < printed["error cents"][0] < 100
    assert found["left_out_error_cents"][0] == pytest.approx(printed["error cents"][0], abs=0.5)
    assert 100 * found["left_out_error_share"][0] == pytest.approx(printed["error percent"][0], abs=0.005)


def test_learned_prices_price_the_shops_parcels_and_explain_says_so(
    listed: warehouse.Connection, price_file: Path
) -> None:
    priced = listed.execute("select count(expected_cents) from rating.rated").fetchall()
    assert priced == [(61,)]
    bill = explaining.bill(listed, "P4")
    reported = explanation(as_dicts(bill["parcel"])[0], bill["lines"], bill["near"], bill["disputes"], Units("USD"))
    assert "The base price is learned from 60 bills of 1 Jan 2025 to 31 Dec 2025; such prices miss by $0." in reported
    intervals = pd.read_csv(price_file, comment="#").set_index("up_to_weight")["interval_cents"]
    assert f"lie within {money(int(float(str(intervals.at[7.0]))), 'USD')} of the learned base price." in reported


def test_prices_learned_from_bills_that_are_not_here_are_named(price_file: Path) -> None:
    text = price_file.read_text(encoding="utf-8").replace("2025-01-01 to 2025-12-31", "2019-01-01 to 2019-12-31")
    for connection in shop(tariff(prices=text)):
        found = table(connection, CURVES)
        assert found[["tariff_code", "is_in_use", "bill_count"]].values.tolist() == [["trial", True, 0]]
        assert pd.isna(found["left_out_error_cents"][0])


def test_the_tariff_shown_says_that_its_prices_are_learned(price_file: Path) -> None:
    found = tariff(prices=price_file.read_text(encoding="utf-8"))
    assert "learned from bills of parcels shipped 2025-01-01 to 2025-12-31" in heading(found)
    assert "learned" not in heading(replace(found, learned_first_on=None, learned_last_on=None))


FUEL = '[[fuel]]\nfrom = 2025-01-01\npercent = 10.0\non = ["base"]\n'
LEARNED = f"{learned_mark(ASKED.first, ASKED.last, 'lb')}\nservice,zone,up_to_weight,price_cents"


def disputed(prices: str, *billed: tuple[int, int]) -> list[list[object]]:
    """The disputes of parcels of 5 lb that were billed so much for base and fuel."""
    bills = [
        {"carrier": "trial", "parcel_id": f"P{4 + n}", "charge_kind": kind, "charge_code": kind, "amount_cents": cents}
        | {"billed_weight_lb": 7.0 + n, "service": "plain", "zone": "2", "shipped_on": "2025-05-05"}
        for n, lines in enumerate(billed)
        for kind, cents in zip(("base", "fuel"), lines, strict=True)
    ]
    disputes, parcels = "marts.billing_disputes", weights()[4 : 4 + len(billed)]
    lists = [tariff(rest=FUEL, prices=prices)]
    with built(price_lists=lists, needed=(disputes,), weights=parcels, charges=bills) as connection:
        found = connection.execute(f"select parcel_id, difference_class, over_cents from {disputes} order by all")
        return [list(row) for row in found.fetchall()]


def priced(miss: str, header: str = ",miss_cents") -> str:
    rows = [f"plain,2,{n},{500 + 40 * n}{miss}" for n in range(3, 23)]
    return "\n".join([LEARNED + header, *rows, ""])


@pytest.mark.slow
def test_a_learned_price_opens_no_dispute_within_its_error() -> None:
    # 7 lb are expected at 780 cents; 90 more lie within the error, 91 beyond it, and fuel follows.
    assert disputed(priced(",90"), (870, 87)) == []
    assert disputed(priced(",90"), (871, 87)) == [["P4", "unknown", 91 + 9]]
    published = priced(",90").split("\n", 1)[1]
    assert disputed(published, (870, 87)) == [["P4", "unknown", 90 + 9]]


def test_a_learned_price_whose_error_is_not_known_opens_no_dispute_at_all() -> None:
    assert disputed(priced("", header=""), (2_000, 200)) == []
    # What does not rest on the price is checked all the same.
    assert disputed(priced("", header=""), (780, 78), (820, 190)) == [["P5", "unknown", 108]]


def test_bills_that_prices_were_learned_from_open_no_dispute(listed: warehouse.Connection) -> None:
    found = listed.execute(
        "select d.parcel_id from marts.billing_disputes as d "
        "inner join core.billed_parcels as b on b.parcel_id = d.parcel_id where d.shipped_on < date '2026-01-01'"
    ).fetchall()
    assert found == []


@pytest.mark.slow(10)
def test_a_shop_that_learns_from_its_own_bills_disputes_no_right_one(tmp_path: Path) -> None:
    generated = billed_shop(random.Random(29), 500, 0.06)
    with taught(generated, tmp_path) as connection:
        found = outcome(connection, generated)
        assert found.disputed_right == 0
        assert found.above >= 5
        assert found.missed_share <= 0.2
        # Fuel and charges whose rules the bills do not tell are counted apart.
        classes = connection.execute(
            "select distinct difference_class from marts.unchecked_charges where charge_name in ('fuel', 'long side')"
        ).fetchall()
        assert ("not checked",) in classes
