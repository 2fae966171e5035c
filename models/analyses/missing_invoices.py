"""Invoices that never came: a number missing of a series, or no invoice when the carrier usually bills.

Nothing is concluded from numbers that prove no series of the shop's own, nor from dates without a rhythm.
"""

import re
from collections.abc import Iterator
from itertools import pairwise
from typing import Any, NamedTuple

import pandas as pd

from models.analyses.question import Question, answer
from models.completed_months.invoice_delays import billed_by_day
from models.contracts import typed
from models.tables import TABLES

READS = ("marts.invoice_totals", "marts.invoice_delays", "waiting_parcels")
WRITES = ("analysis.missing_invoices",)
# Steps that a series or a rhythm must show before a gap in it means something, and the share of them that are regular
# (common practice, no source).
FEWEST_STEPS, REGULAR = 5, 0.8
# Numbers missing in a row beyond this are a new series, not lost invoices (common practice, no source).
MOST_IN_A_ROW = 3
# How far an interval may be off the usual one and still be regular: this share of it, at least so many days; and how
# many usual intervals without an invoice are a gap (common practice, no source).
OFF_SHARE, OFF_DAYS, GAP = 0.25, 3.0, 1.6
LATEST_DATES = 53
# Shares of a carrier's parcels billed sooner and later than which none is looked for.
SOON, LATE = 0.05, 0.95
_NUMBER = re.compile(r"^(.*?)(\d+)(\D*)$")
_DATE = re.compile(r"^20\d\d(0[1-9]|1[0-2])(0[1-9]|[12]\d|3[01])?$")

Row = dict[str, Any]


class Numbered(NamedTuple):
    """An invoice and its number taken apart: what stands before and after the figures, and how many these are."""

    number: str
    on: pd.Timestamp
    before: str
    value: int
    after: str
    width: int

    def written(self, value: int) -> str:
        """Another number of the same series."""
        return f"{self.before}{value:0{self.width}d}{self.after}"


def compute(question: Question) -> dict[str, pd.DataFrame]:
    """analysis.missing_invoices."""
    totals = question.table("marts.invoice_totals")
    invoices = totals.assign(invoiced_on=pd.to_datetime(totals["invoiced_on"]))
    waiting = question.table("waiting_parcels")
    waiting = waiting.assign(shipped_on=pd.to_datetime(waiting["shipped_on"]))
    curves = billed_by_day(question.table("marts.invoice_delays"), pd.Timestamp(question.as_of))
    rows: list[Row] = []
    for carrier, own in invoices.groupby("carrier", sort=True):
        delays = _delays(curves.get(str(carrier)))
        unbilled = waiting[waiting["carrier"] == carrier]
        gaps = [*_numbers(own), *_periods(own[own["parcel_count"] > 0], pd.Timestamp(question.as_of))]
        found = [{"carrier": str(carrier), **gap, **_waiting(gap, unbilled, delays)} for gap in gaps]
        rows += _once([gap for gap in found if gap["invoice_gap"] == "number" or gap["waiting_count"]])
    return {WRITES[0]: _table(rows)}


def _table(rows: list[Row]) -> pd.DataFrame:
    found = typed(answer(WRITES[0], rows), TABLES[WRITES[0]])
    return found.sort_values(["carrier", "after_on", "after_invoice_number", "invoice_gap"], ignore_index=True)


def _numbers(invoices: pd.DataFrame) -> Iterator[Row]:
    """Numbers missing of the carrier's series, where its numbers prove one: nearly all follow one another, in the order
    of their dates, and are no dates."""
    for series in _series(invoices):
        steps = [pair for run in series for pair in pairwise(run)]
        counted = [pair for pair in steps if pair[1].value - pair[0].value <= MOST_IN_A_ROW + 1]
        followed = sum(later.value - earlier.value == 1 for earlier, later in steps)
        in_order = sum(later.on >= earlier.on for earlier, later in steps)
        if len(steps) < FEWEST_STEPS or min(followed, in_order) < REGULAR * len(steps):
            continue
        for earlier, later in counted:
            if later.value - earlier.value > 1:
                yield _hole(earlier, later) | {"numbered_count": len(steps), "followed_count": followed}


def _series(invoices: pd.DataFrame) -> Iterator[list[list[Numbered]]]:
    """Runs of numbers that differ in their last figures alone, those of one shape together: a series may begin again
    each month."""
    taken = [each for row in invoices.itertuples() if (each := _taken_apart(str(row.invoice_number), row.invoiced_on))]
    shapes: dict[str, dict[tuple[str, str], list[Numbered]]] = {}
    for each in taken:
        shape = re.sub(r"\d", "#", each.before) + "|" + each.after
        shapes.setdefault(shape, {}).setdefault((each.before, each.after), []).append(each)
    for runs in shapes.values():
        if not all(_DATE.match(str(each.value)) for run in runs.values() for each in run):
            yield [sorted(run, key=lambda each: each.value) for run in runs.values()]


def _taken_apart(number: str, on: Any) -> Numbered | None:
    found = _NUMBER.match(number)
    if found is None or len(found[2]) > 15:
        return None
    width = len(found[2]) if found[2].startswith("0") or len(found[2]) > 1 else 1
    return Numbered(number, pd.Timestamp(on), found[1], int(found[2]), found[3], width)


def _hole(earlier: Numbered, later: Numbered) -> Row:
    missing = range(earlier.value + 1, later.value)
    return {
        "invoice_gap": "number",
        "after_invoice_number": earlier.number,
        "after_on": earlier.on,
        "before_invoice_number": later.number,
        "before_on": later.on,
        "missing_numbers": ", ".join(earlier.written(value) for value in missing),
        "missing_invoice_count": len(missing),
    }


def _periods(invoices: pd.DataFrame, as_of: pd.Timestamp) -> Iterator[Row]:
    """Times without an invoice of a carrier that bills at regular intervals, the time until the last day on record
    among them."""
    latest = invoices.sort_values(["invoiced_on", "invoice_number"]).drop_duplicates("invoiced_on", keep="last")
    dates = pd.DatetimeIndex(latest["invoiced_on"])[-LATEST_DATES:]
    numbers = latest["invoice_number"].astype(str).tolist()[-LATEST_DATES:]
    intervals = [(later - earlier).days for earlier, later in pairwise(dates)]
    usual = _usual(intervals)
    if usual is None:
        return
    ends = [*zip(dates[1:], numbers[1:], strict=True), (as_of, None)]
    for at, (end, number) in enumerate(ends):
        days = (end - dates[at]).days
        if days > max(GAP * usual, usual + OFF_DAYS):
            missing = round(days / usual) - 1 if number else int((days - OFF_DAYS) // usual)
            yield {
                "invoice_gap": "period",
                "after_invoice_number": numbers[at],
                "after_on": dates[at],
                "before_invoice_number": number,
                "before_on": end if number else pd.NaT,
                "missing_invoice_count": max(missing, 1),
                "expected_on": dates[at] + pd.Timedelta(days=round(usual)),
                "usual_interval_days": max(round(usual), 1),
            }


def _usual(intervals: list[int]) -> float | None:
    """The carrier's usual days between invoices; None where it bills irregularly or is not known long enough."""
    if len(intervals) < FEWEST_STEPS:
        return None
    usual = float(pd.Series(intervals).median())
    regular = sum(abs(days - usual) <= max(OFF_SHARE * usual, OFF_DAYS) for days in intervals)
    return usual if regular >= REGULAR * len(intervals) else None


def _delays(curve: Any) -> tuple[int, int]:
    """Days from shipping within which the carrier bills hardly any parcel, and nearly all."""
    if curve is None:
        return 0, 0
    return int((curve < SOON).sum()), int((curve < LATE).sum())


def _waiting(gap: Row, unbilled: pd.DataFrame, delays: tuple[int, int]) -> Row:
    """The carrier's parcels without a bill that the missing invoices would have named, by its usual delay."""
    soonest, longest = (pd.Timedelta(days=days) for days in delays)
    until: pd.Timestamp = gap["expected_on"] if pd.isna(gap["before_on"]) else gap["before_on"]
    first, last = gap["after_on"] - longest, until - soonest
    rows = unbilled[unbilled["shipped_on"].between(first, last)]
    priced = rows["waiting_cents"].dropna()
    return {
        "waiting_from_on": first,
        "waiting_to_on": max(first, last),
        "waiting_count": len(rows),
        "waiting_valued_count": len(priced),
        "waiting_cents": int(priced.sum()),
    }


def _once(gaps: list[Row]) -> Iterator[Row]:
    """The gaps, but no time without an invoice that a missing number explains already."""
    numbered = [(gap["after_on"], gap["before_on"]) for gap in gaps if gap["invoice_gap"] == "number"]
    for gap in gaps:
        end = gap["before_on"]
        is_explained = gap["invoice_gap"] == "period" and not pd.isna(end)
        if not (is_explained and any(gap["after_on"] < last and first < end for first, last in numbered)):
            yield gap
