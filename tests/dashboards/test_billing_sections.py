"""The sections on bills, disputes and near misses, drawn from given rows."""

from __future__ import annotations

import datetime as dt
from functools import cache

import pandas as pd
import pytest

from dashboards.review import render
from tests.dashboards import shop
from tests.dashboards.markup import Element, by_id, parsed
from tests.dashboards.parcels import Rows, held
from tests.dashboards.test_review import cells, drawn, in_prose, origin, reads_as, reads_in_prose

MONTH = pd.Timestamp(shop.MONTH)
LINE = {"carrier": "Northline", "invoice_number": "NL-20261008", "line_number": 7}
PARCEL = {
    "service": "ground",
    "item_type": "tripod",
    "carton_code": "C-48",
    "shipped_on": pd.Timestamp("2026-10-05"),
    "shipped_month": MONTH,
    "invoiced_on": pd.Timestamp("2026-10-12"),
}
CORRECTED = {"corrected_invoice_number": "NL-20261001", "corrected_line_number": 3}


def _dispute(parcel: str, cause: str, cents: int, is_disputable: bool) -> dict[str, object]:
    return {
        **LINE,
        **PARCEL,
        **CORRECTED,
        "dispute_id": f"{parcel}/{cause.replace(' ', '-')}",
        "parcel_id": parcel,
        "difference_class": cause,
        "charge_name": "base",
        "over_cents": cents,
        "credited_cents": 0,
        "dispute_state": "open",
        "recovered_cents": None,
        "outstanding_cents": cents,
        "own_evidence": "zone 3",
        "billed_evidence": "billed as zone 5",
        "last_dispute_on": pd.Timestamp("2026-12-11"),
        "is_disputable": is_disputable,
    }


CHECKED = {"charged_count": 94, "checked_parcel_count": 93}


def disputes() -> Rows:
    return [_dispute("NL1", "wrong zone", 189, True), _dispute("NL2", "rounding", 1, False)]


def totals() -> Rows:
    return [
        {
            "shipped_month": MONTH,
            "carrier": "Northline",
            "difference_class": cause,
            "dispute_count": 1,
            "over_cents": cents,
            "credited_cents": 0,
            "outstanding_cents": cents,
            "disputable_count": 1,
            "disputable_cents": cents,
        }
        for cause, cents in (("wrong zone", 189), ("duplicate line", 895))
    ]


def differences() -> Rows:
    return [
        {
            **LINE,
            **PARCEL,
            **CORRECTED,
            "parcel_id": "NL3",
            "difference_class": "not rated",
            "charge_kind": "base",
            "charge_name": "weight unknown",
            "expected_cents": None,
            "billed_cents": 2113,
            "difference_cents": None,
        }
    ]


def near_misses() -> Rows:
    common = {"shipped_month": MONTH, "carrier": "Northline", "item_type": "tripod"}
    side = {"charge_name": "long side", "change": "longest side", "change_in": 0.75, "change_lb": None}
    weight = {"charge_name": "rated weight", "change": "weight", "change_in": None, "change_lb": 0.5}
    return [
        {**common, **side, "carton_code": "C-48", "parcel_count": 57, "spared_cents": 152399, "cut_count": 57}
        | {"other_carton_code": "C-46"},
        {**common, **weight, "carton_code": "M-16", "parcel_count": 21, "spared_cents": 596, "cut_count": 0}
        | {"other_carton_code": None},
    ]


def rates() -> Rows:
    common = {"shipped_month": MONTH, "carrier": "Northline", "surcharge": "long side", "parcel_count": 532}
    amounts = {"charged_parcel_count": 499, "surcharge_rate": 499 / 532, "amount_cents": 844830}
    limits = {"avoidable_count": 498, "avoidable_cents": 843165, "rate_low": 0.915, "rate_high": 0.956}
    return [
        {**common, **amounts, **limits, "grouped_by": by, "group_name": name, "avoidable_share": 0.998}
        for by, name in (("item type", "tripod"), ("carton", "C-48"), ("service", "ground"))
    ]


def sides() -> Rows:
    common = {"carton_code": "C-48", "cut_height_in": None, "parcel_count": 1069, "named_in": 48.0}
    return [
        {
            **common,
            "side": "longest side",
            "bulge_in": 1.0,
            "bulge_low_in": 1.0,
            "bulge_high_in": 1.0,
            "usual_in": 49.0,
        },
        {**common, "side": "second side", "bulge_in": 0.0, "bulge_low_in": 0.0, "bulge_high_in": 0.0, "usual_in": 48.0},
    ]


def curves() -> Rows:
    lane = {"carrier": "Corvane", "service": "freight", "left_out_unpriced_count": 1, "seen_from_lb": 3.0}
    days = {"learned_first_on": pd.Timestamp("2025-01-02"), "learned_last_on": pd.Timestamp("2025-12-30")}
    errors = {
        "left_out_error_cents": 39,
        "left_out_error_share": 0.021,
        "seen_to_lb": 62.0,
        "widest_interval_share": 0.058,
    }
    return [
        {**lane, **days, **errors, "zone": "5", "tariff_code": None, "is_in_use": False, "bill_count": 900},
        {**lane, **days, **errors, "zone": "2", "tariff_code": "c-25", "is_in_use": True, "bill_count": 412},
    ]


@cache
def tables() -> dict[str, pd.DataFrame]:
    return shop.tables() | {
        "marts.billing_disputes": held("marts.billing_disputes", disputes()),
        "marts.billing_checks": held("marts.billing_checks", [{"shipped_month": MONTH, **CHECKED}]),
        "marts.billing_totals": held("marts.billing_totals", totals()),
        "marts.billing_differences": held("marts.billing_differences", differences()),
        "marts.near_miss_totals": held("marts.near_miss_totals", near_misses()),
        "analysis.surcharge_rates": held("analysis.surcharge_rates", rates()),
        "analysis.rate_curves": held("analysis.rate_curves", curves()),
        "analysis.learned_sides": held("analysis.learned_sides", sides()),
    }


@cache
def page() -> Element:
    return parsed(render(shop.review(tables=tables())))


@pytest.mark.parametrize("section", ["billing", "near-misses"])
def test_every_shown_value_is_the_cell_it_names(section: str) -> None:
    shown = cells(by_id(page(), section))
    assert len(shown) > 20
    for element in shown:
        reads = reads_in_prose if in_prose(element) else reads_as
        assert reads(element.text(), origin(element, tables()), element.attributes["data-column"]), element.text()


def test_the_leads_say_the_next_day_and_the_greatest_saving() -> None:
    billing, near = by_id(page(), "billing").text(), by_id(page(), "near-misses").text()
    assert "The next deadline for a dispute is 11 Dec 2026: Northline, wrong zone, $1.89." in billing
    assert "tripod in carton C-48: 0.75 in less on the longest side would have avoided long side on 57 parcels" in near
    assert "carton C-48 measures 49 in on its longest side when closed, 1 in more than nominal." in near


def test_only_what_can_still_be_disputed_stands_in_the_list_and_unrated_bills_in_theirs() -> None:
    assert [each.text() for each in by_id(page(), "disputes-table").all("th")][-1] == "NL1/wrong-zone"
    assert "NL2/rounding" not in by_id(page(), "disputes").text()
    assert "weight unknown" in by_id(page(), "not-rated").text()


def test_learned_prices_say_how_far_they_miss() -> None:
    text = by_id(page(), "billing").text()
    assert "Prices by c-25 are learned from bills, not published: in freight, zone 2, they are off by 2.1%" in text
    rows = by_id(page(), "learned-prices-table").all("tbody")[0].all("tr")
    assert [[cell.text() for cell in row.all("td")[1:3]] for row in rows] == [["2", "yes"], ["5", "no"]]
    assert "5.8%" in rows[0].text()
    few = {"analysis.rate_curves": tables()["analysis.rate_curves"].assign(left_out_error_share=float("nan"))}
    assert "too few to say how far they are off" in parsed(render(shop.review(tables=tables() | few))).text()


def test_figures_draw_their_rows() -> None:
    marks = drawn(page())
    names = ("billing-causes", "near-miss-savings")
    written = {name: [each.all("text")[-1].text() for each in marks[name]] for name in names}
    assert written["billing-causes"] == ["$8.95", "$1.89"]
    assert written["near-miss-savings"] == ["$1,524", "$6"]
    assert "surcharges-by-item-type" not in marks, "one row"


def test_without_rows_each_part_says_so() -> None:
    emptied = {name: table.iloc[:0] for name, table in tables().items()}
    checked = {"marts.billing_checks": tables()["marts.billing_checks"]}
    text = parsed(render(shop.review(tables=emptied | checked))).text()
    assert "No billing error on record can be disputed now." in text
    assert "No charge of the 93 parcels checked was within reach." in text
    assert "93 of 94 billed parcels could be checked, and no charge that was checked is above the tariff." in text
    nothing = parsed(render(shop.review(tables=emptied))).text()
    assert "can be disputed now" not in nothing and "within reach" not in nothing and "the tariff" not in nothing


def test_a_deadline_that_is_over_on_the_day_of_making_is_no_next_one() -> None:
    late = parsed(render(shop.review(tables=tables(), made_at=dt.datetime(2026, 12, 12, 6, 0)))).text()
    assert "Overdue: Northline, wrong zone, $1.89; the deadline was 11 Dec 2026." in late
    assert "The next deadline" not in late
