"""Invoices that never came: found where numbers or dates prove a series, and only there."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from typing import Any

import pandas as pd
import pytest

from models.analyses.missing_invoices import compute
from models.analyses.question import Question
from models.contracts import validated
from models.plain_rows import as_dicts
from models.tables import TABLES

MONDAY = date(2026, 6, 1)
WEEKS = [MONDAY + timedelta(weeks=week) for week in range(12)]


def missing(
    invoices: Sequence[tuple[str, date]],
    unbilled: Sequence[date] = (),
    as_of: date = WEEKS[-1],
    cents: int | None = 900,
) -> list[dict[str, Any]]:
    """What is found of one carrier that bills parcels 3 to 9 days after shipping."""
    totals = pd.DataFrame(invoices, columns=["invoice_number", "invoiced_on"]).assign(carrier="Tern", parcel_count=3)
    delays = pd.DataFrame(
        [{"shipped_month": "2026-03-01", "carrier": "Tern", "delay_days": days} for days in range(3, 10)]
    ).assign(first_billed_count=10)
    waiting = pd.DataFrame(unbilled, columns=["shipped_on"]).assign(carrier="Tern", waiting_cents=cents)
    tables = {"marts.invoice_totals": totals, "marts.invoice_delays": delays, "waiting_parcels": waiting}
    found = compute(Question(tables, as_of))["analysis.missing_invoices"]
    validated(found, TABLES["analysis.missing_invoices"], "the test")
    return as_dicts(found)


def numbered(*numbers: int, form: str = "T-{:05d}") -> list[tuple[str, date]]:
    return [(form.format(number), day) for number, day in zip(numbers, WEEKS, strict=False)]


def test_a_number_missing_of_a_series_is_named_with_what_waits_for_it() -> None:
    # The fifth invoice is missing: parcels of the days from 9 days before the fourth wait for it.
    weeks = [*WEEKS[:4], *WEEKS[5:]]
    invoices = [(f"T-{at:05d}", day) for at, day in zip((98, 99, 100, 101, *range(103, 110)), weeks, strict=True)]
    (row,) = missing(invoices, [WEEKS[4] - timedelta(days=5), WEEKS[4] - timedelta(days=4), WEEKS[9]])
    assert (row["missing_numbers"], row["missing_invoice_count"], row["invoice_gap"]) == ("T-00102", 1, "number")
    assert (row["after_invoice_number"], row["before_invoice_number"]) == ("T-00101", "T-00103")
    assert (row["numbered_count"], row["followed_count"]) == (10, 9)
    assert (row["waiting_count"], row["waiting_valued_count"], row["waiting_cents"]) == (2, 2, 1_800)


def test_a_series_may_begin_anew_each_month() -> None:
    months = [(f"NL-2026-{month:02d}-{n}", date(2026, month, 7 * n)) for month in (5, 6, 7) for n in (1, 2, 3)]
    assert missing(months) == []
    (row,) = missing([each for each in months if each[0] != "NL-2026-06-2"])
    assert row["missing_numbers"] == "NL-2026-06-2"


@pytest.mark.parametrize(
    "invoices",
    [
        numbered(5, 9, 14, 22, 23, 40, 41, 55),  # the carrier numbers the invoices of all its customers
        numbered(1, 2, 4),  # too few to prove anything
        numbered(7, 6, 5, 3, 2, 1, 4, form="{}/x"),  # not in the order of their dates
        numbered(202604, 202605, 202607, 202608, 202609, 202610, 202611),  # months
        numbered(20260601, 20260602, 20260603, 20260605, 20260606, 20260607, 20260608),  # days
        [(f"no number {name}", day) for name, day in zip("abcdefgh", WEEKS, strict=False)],
        numbered(1, 2, 3, 4, 5, 6, 2_000, 2_001, 2_002),  # a new series
    ],
)
def test_numbers_that_prove_no_series_say_nothing(invoices: list[tuple[str, date]]) -> None:
    assert missing(invoices) == []


def dated(*left_out: int, last: int = 12) -> list[tuple[str, date]]:
    """Weekly invoices whose numbers say nothing."""
    return [(f"{37 * at % 101}-K", day) for at, day in enumerate(WEEKS[:last]) if at not in left_out]


def test_a_week_without_an_invoice_is_found_by_the_carriers_own_rhythm() -> None:
    (row,) = missing(dated(6), [WEEKS[6] - timedelta(days=5)], cents=None)
    assert (row["invoice_gap"], row["usual_interval_days"], row["missing_invoice_count"]) == ("period", 7, 1)
    assert (row["after_on"], row["before_on"]) == (pd.Timestamp(WEEKS[5]), pd.Timestamp(WEEKS[7]))
    assert row["expected_on"] == pd.Timestamp(WEEKS[6])
    assert (row["waiting_count"], row["waiting_valued_count"], row["waiting_cents"]) == (1, 0, 0)


def test_without_a_parcel_that_waits_a_pause_is_a_pause() -> None:
    assert missing(dated(5, 6)) == []
    assert missing(dated(5, 6), [WEEKS[0]]) == []


def test_irregular_invoices_have_no_rhythm() -> None:
    days = [MONDAY + timedelta(days=days) for days in (0, 2, 11, 12, 30, 31, 33, 60)]
    invoices = [(f"{37 * at % 101}-K", day) for at, day in enumerate(days)]
    assert missing(invoices, [MONDAY + timedelta(days=50)]) == []


def test_since_the_last_invoice_only_what_it_should_have_billed_waits() -> None:
    """Parcels of the last days are not due yet."""
    waiting = [WEEKS[8] + timedelta(days=2), WEEKS[11] - timedelta(days=1)]
    (row,) = missing(dated(last=9), waiting, as_of=WEEKS[11])
    assert (row["waiting_count"], pd.isna(row["before_on"]), row["missing_invoice_count"]) == (1, True, 2)
    assert missing(dated(last=9), waiting, as_of=WEEKS[9]) == []


def test_a_missing_number_explains_the_missing_week() -> None:
    invoices = [(f"T-{at}", day) for at, day in enumerate(WEEKS, start=20) if at != 26]
    (row,) = missing(invoices, [WEEKS[6] - timedelta(days=5)])
    assert (row["invoice_gap"], row["missing_numbers"]) == ("number", "T-26")
