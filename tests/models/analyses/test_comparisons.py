"""Months beside others, per parcel: only where the records reach, like with like."""

from __future__ import annotations

from datetime import date
from typing import Any

import pandas as pd
import pytest

from models.analyses.comparisons import compute
from models.analyses.question import Question
from models.contracts import validated
from models.tables import TABLES

LAST_YEAR, BEFORE, MEAN = ("the same month last year", "the month before", "the mean of the twelve months before")
MONTHS = pd.date_range("2025-10-01", periods=13, freq="MS")


def compared(rows: list[dict[str, Any]], month: str = "2026-10", unsent: int = 1) -> pd.DataFrame:
    """What the month is compared with. rows: of consecutive months; 100 parcels at a dollar, all known, if not said;
    of each, `unsent` sales have no parcel."""
    plain = {"parcel_count": 100, "margin_cents": 10_000, "billed_cents": 50_000}
    to_come = [row.get("to_come", 500) for row in rows]
    counts = ("benched_parcel_count", "charged_count", "sold_parcel_count")
    whole = [{**plain, "dated_by_invoice_count": 0, **row} for row in rows]
    months = pd.DataFrame([{**dict.fromkeys(counts, row["parcel_count"]), **row} for row in whole])
    months["shipped_month"] = [
        row.get("shipped_month", at) for row, at in zip(whole, MONTHS[-len(rows) :], strict=True)
    ]
    tables = {
        "marts.shipping_margin": months[["shipped_month", *plain]],
        "marts.coverage": months[["shipped_month", "parcel_count", *counts, "dated_by_invoice_count"]],
        "analysis.completed_months": months.assign(
            completed_margin_cents=months["margin_cents"] + pd.array(to_come, "Int64"), sales_to_ship_count=4
        )[["shipped_month", "completed_margin_cents", "sales_to_ship_count"]],
        "marts.record_gaps": pd.DataFrame(
            {"shipped_month": months["shipped_month"], "gap": "sales without a parcel", "missing_count": unsent}
        ),
    }
    found = compute(Question(tables, date(2026, 10, 31)))["analysis.margin_comparisons"]
    kept = validated(found, TABLES["analysis.margin_comparisons"], "the test")
    return kept[kept["shipped_month"] == pd.Timestamp(month)].set_index("compared_with")


def test_a_month_is_compared_per_parcel_with_all_that_the_records_reach() -> None:
    year: list[dict[str, Any]] = [{"margin_cents": -10_000}, *({} for _ in range(11))]
    found = compared([*year, {"parcel_count": 50, "margin_cents": 7_500}])
    assert found["per_parcel_change_cents"].to_dict() == {BEFORE: 50, LAST_YEAR: 250, MEAN: 67}
    assert found.loc[MEAN, "compared_per_parcel_cents"] == round((11 * 10_000 - 10_000) / 1_200)
    assert found["compared_parcel_count"].to_dict() == {BEFORE: 100, LAST_YEAR: 100, MEAN: 1_200}
    assert found["is_like_with_like"].all()
    assert found.loc[MEAN, "first_compared_month"] == pd.Timestamp("2025-10-01")


def test_completed_months_stand_beside_it_with_the_parcels_still_to_be_sent() -> None:
    """By hand: (10,000 + 500) / 104; of twelve, (11 x 10,500 + 2,500) / 12 months and 1,248 parcels."""
    found = compared([{"margin_cents": 2_000}, *({} for _ in range(12))])
    assert found["compared_completed_cents"].to_dict() == {BEFORE: 10_500, LAST_YEAR: 2_500, MEAN: 9_833}
    assert found["compared_completed_per_parcel_cents"].to_dict() == {BEFORE: 101, LAST_YEAR: 24, MEAN: 95}


def test_a_mean_of_months_one_of_which_cannot_be_completed_is_not_known() -> None:
    found = compared([{}, {"to_come": None}, *({} for _ in range(11))])
    for name in ("compared_completed_cents", "compared_completed_per_parcel_cents"):
        assert found[name].notna().to_dict() == {BEFORE: True, LAST_YEAR: True, MEAN: False}


@pytest.mark.parametrize("missing", [0, 5])
def test_a_month_that_the_records_do_not_hold_is_not_compared_with(missing: int) -> None:
    rows = [{"shipped_month": month} for at, month in enumerate(MONTHS) if at != missing]
    assert set(compared(rows).index) == ({BEFORE} if missing == 0 else {BEFORE, LAST_YEAR})


def test_a_month_better_for_its_missing_bills_is_not_like_the_others() -> None:
    found = compared([{}, {"charged_count": 70, "margin_cents": 25_000, "billed_cents": 35_000}])
    assert not found["is_like_with_like"].any()
    # Four bills of a hundred are within the shares, but 20.83 of bills may be more than the gain.
    small = {"charged_count": 96, "billed_cents": 48_000}
    assert not compared([{}, {"margin_cents": 11_900, **small}])["is_like_with_like"].any()
    assert compared([{}, {"margin_cents": 12_100, **small}])["is_like_with_like"].all()


@pytest.mark.parametrize(("unsent", "is_like"), [(1, False), (0, True)])
def test_without_a_bench_log_only_sales_that_all_have_their_parcel_name_the_parcels(unsent: int, is_like: bool) -> None:
    found = compared([{"benched_parcel_count": 0, "margin_cents": 9_000}, {"benched_parcel_count": 0}], unsent=unsent)
    assert found["is_like_with_like"].tolist() == [is_like]


def test_a_change_that_missing_bills_may_turn_in_all_though_not_for_each_parcel_is_not_like() -> None:
    """116 of 120 billed, $4 each: $16 are missing, more than the gain of $12 in all; each parcel lost either way."""
    few = {"parcel_count": 120, "margin_cents": 15_200, "billed_cents": 46_400, "charged_count": 116}
    assert compared([{}, {**few, "margin_cents": 25_200}])["is_like_with_like"].all()
    assert not compared([{"margin_cents": 14_000}, few])["is_like_with_like"].any()


@pytest.mark.parametrize(("count", "is_like"), [(5, True), (6, False)])
def test_months_that_count_parcels_by_their_invoice_are_not_comparable(count: int, is_like: bool) -> None:
    found = compared([{"dated_by_invoice_count": count}] * 2)
    assert found["is_like_with_like"].tolist() == [is_like]


def test_months_without_parcels_or_records_have_no_row() -> None:
    assert compared([{"parcel_count": 0, "margin_cents": -700}, {}]).empty
    assert compared([{}]).empty
