"""The page of an announced tariff, drawn from given rows."""

from __future__ import annotations

import datetime as dt
from functools import cache

import pandas as pd
import pytest

from dashboards.review_tables import Review
from dashboards.tariff_comparison import render_comparison
from models.contracts import validated
from models.shop_units import Units
from models.tables.tariff_comparison import COMPARISON
from tests.dashboards.markup import Element, by_id, parsed
from tests.dashboards.parcels import Rows
from tests.dashboards.test_review import cells, origin, reads_as
from tests.dashboards.test_review import drawn as drawn_in

LAST = pd.Timestamp("2026-10-30")
ROWS: dict[str, Rows] = {
    "totals": [
        {"carrier": "Northline", "tariff_code": "n-27", "first_on": pd.Timestamp("2025-10-31"), "last_on": LAST}
        | {"parcel_count": 9, "compared_count": 8, "before_cents": 20_000, "after_cents": 21_500}
        | {"change_cents": 1_500, "change_share": 0.075, "learned_count": 0}
    ],
    "by_item_type": [
        {"item_type": kind, "parcel_count": 4, "before_cents": before, "after_cents": before + change}
        | {"change_cents": change, "change_share": change / before}
        for kind, before, change in (("eyepiece", 5_000, -350), ("tripod", 15_000, 1_850))
    ],
    "by_zone": [
        {"zone": "5", "parcel_count": 8, "before_cents": 20_000, "after_cents": 21_500, "change_cents": 1_500}
        | {"change_share": 0.075}
    ],
    "by_charge": [
        {"charge_kind": kind, "charge_name": name, "before_parcel_count": 7, "after_parcel_count": 8}
        | {"before_cents": 9_000, "after_cents": 9_000 + change, "change_cents": change}
        for kind, name, change in (("base", "base", -350), ("surcharge", "long side", 1_850))
    ],
    "crossings": [
        {"surcharge": "long side", "crossing": "newly charged", "item_type": "tripod", "parcel_count": 1}
        | {"change_cents": 1_850},
        {"surcharge": "season", "crossing": "no longer charged", "item_type": "tripod", "parcel_count": 2}
        | {"change_cents": -2_000},
    ],
    "crossing_parcels": [
        {"parcel_id": "NL1", "surcharge": "long side", "crossing": "newly charged", "item_type": "tripod"}
        | {"zone": "5", "shipped_on": LAST, "length_in": 47.5, "width_in": 8.0, "height_in": 8.0}
        | {"scale_weight_lb": None, "change_cents": 1_850}
    ],
}


@cache
def tables() -> dict[str, pd.DataFrame]:
    return {
        f"comparison.{name}": validated(pd.DataFrame(ROWS[name], columns=list(schema.columns)), schema, "this test")
        for name, schema in COMPARISON.items()
    }


def drawn(shown: dict[str, pd.DataFrame]) -> str:
    made_at = dt.datetime(2026, 11, 1, 6)
    return render_comparison(
        Review(shop_name="Fernmoor <Optics>", units=Units("USD"), month=LAST.date(), made_at=made_at, tables=shown),
        "n-27 <new>",
    )


@cache
def page() -> Element:
    return parsed(drawn(tables()))


def test_every_shown_value_is_the_cell_it_names() -> None:
    shown = cells(page())
    assert len(shown) > 60
    for element in shown:
        value = origin(element, tables())
        assert reads_as(element.text(), value, element.attributes["data-column"]), element.text()


def test_title_and_lead_say_the_tariff_and_the_change() -> None:
    assert page().all("h1")[0].text() == "Past parcels under n-27 <new>"
    text = page().text()
    assert "The 8 of 9 parcels of Northline from 31 Oct 2025 to 30 Oct 2026" in text
    assert "$215 instead of $200: +$15." in text
    assert "The largest: season, no longer charged on 2 parcels of tripod, -$20." in text.replace("−", "-")


@pytest.mark.parametrize(
    ("name", "changes"),
    [
        ("by-item-type", ["+$18", "-$4"]),
        ("by-zone", []),
        ("by-charge", ["+$18", "-$4"]),
        ("crossings-by-item-type", ["-$20", "+$18"]),
    ],
)
def test_each_figure_draws_the_change_and_has_its_table(name: str, changes: list[str]) -> None:
    marks = drawn_in(page()).get(name, [])
    assert [mark.all("text")[-1].text() for mark in marks] == changes
    assert len(by_id(page(), f"{name}-table").all("tbody")[0].all("tr")) == max(1, len(changes)), "one bar is not drawn"


def test_one_script_of_our_own_and_nothing_from_elsewhere() -> None:
    scripts = [each for each in page().all("script") if "type" not in each.attributes]
    assert len(scripts) == 1
    assert not any({"src", "srcset"} & set(each.attributes) for each in page().walk())


def test_without_a_parcel_priced_by_both_the_page_says_so() -> None:
    nothing = {name: rows.iloc[:0] for name, rows in tables().items()}
    totals = tables()["comparison.totals"].assign(compared_count=0, change_share=float("nan"))
    totals["change_cents"] = pd.NA
    text = parsed(drawn(nothing | {"comparison.totals": totals})).text()
    assert "No parcel could be priced by both tariffs." in text
    assert "No parcel crosses a threshold." not in text, "none was compared"


@pytest.mark.parametrize(
    ("learned", "within", "said"),
    [
        (0, None, []),
        (6, 400, ["all the same way, the change is"]),
        (6, None, ["of which it is not known how far they miss."]),
    ],
)
def test_the_page_says_how_far_learned_prices_leave_the_change_open(
    learned: int, within: int | None, said: list[str]
) -> None:
    totals = tables()["comparison.totals"].assign(learned_count=learned, within_cents=pd.array([within], dtype="Int64"))
    text = drawn(tables() | {"comparison.totals": totals})
    known = ("all the same way, the change is", "of which it is not known how far they miss.")
    assert [words for words in known if words in text] == said
    assert ("Either way" in text) == (within is not None)
