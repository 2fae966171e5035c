"""Cases of the sentences on the month completed."""

from __future__ import annotations

from typing import Any

import pandas as pd

from tests.dashboards.sentences.cases import BEFORE, Case, Tables, coverage, row, rows

COMPLETED, GAPS = "analysis.completed_months", "marts.record_gaps"
OPEN: dict[str, Any] = {
    "parcel_count": 80,
    "billed_cents": 70_000,
    "carriage_to_come_cents": 10_000,
    "carriage_to_come_low_cents": 9_000,
    "carriage_to_come_high_cents": 11_500,
    "sales_to_ship_count": 0,
    "unpriced_count": 0,
    "damage_to_come_cents": 3_000,
    "damage_to_come_low_cents": 0,
    "damage_to_come_high_cents": 6_000,
    "recovery_to_come_cents": 0,
    "completed_margin_cents": -5_000,
    "completed_low_cents": -8_000,
    "completed_high_cents": -2_000,
    "is_completed": False,
}
WHOLE = {**OPEN, "carriage_to_come_cents": 0, "damage_to_come_cents": 0, "is_completed": True}


def month(benched: int = 80, by_invoice: int = 0, **cells: Any) -> Tables:
    """The first month of a shop, completed."""
    known = coverage(80, benched_parcel_count=benched, dated_by_invoice_count=by_invoice)
    return {**row(COMPLETED, **{**OPEN, **cells}), **row("marts.coverage", **known)}


def two(change: int, low: int | None, high: int | None, benched_before: int = 80, **cells: Any) -> Tables:
    """Two months; the change with its limits."""
    changed = {"completed_change_cents": change, "change_low_cents": low, "change_high_cents": high, **cells}
    earlier = {"shipped_month": BEFORE}
    return {
        **rows(COMPLETED, {**WHOLE, **earlier}, {**OPEN, **changed}),
        **rows("marts.coverage", {**coverage(benched_parcel_count=benched_before), **earlier}, coverage()),
    }


NO_BENCH = month(benched=0)
SOLD = row(GAPS, gap="sales without a parcel", due_count=60, missing_count=2)
UNLINKED = row(GAPS, gap="sales without a parcel", due_count=60, missing_count=60)
BETTER, WORSE, UNSURE, SURE = two(900, 100, 1_700), two(-900, -1_700, -1), two(900, -1, 1_700), two(900, 900, 900)
FIRST = month()
# How much damage is still to come is not known, so there are no limits and nothing proves a side.
NOT_KNOWN: dict[str, Any] = dict.fromkeys(("damage_to_come_cents", "completed_low_cents", "completed_high_cents"))
BETTER_SO_FAR, WORSE_SO_FAR, SAME_SO_FAR = (two(change, None, None, **NOT_KNOWN) for change in (900, -900, 0))
# Nothing tells what some parcels cost: of a few the month has no limits, of many it cannot be completed.
NO_LIMITS: dict[str, Any] = dict.fromkeys(("completed_low_cents", "completed_high_cents", "billed_part"))
FEW_UNPRICED: dict[str, Any] = {"unpriced_count": 4, "unbilled_count": 6, **NO_LIMITS}
UNPRICED: dict[str, Any] = {**FEW_UNPRICED, "unpriced_count": 31, "unbilled_count": 33, "completed_margin_cents": None}
# The other month of the two has parcels that may cost anything.
FEW_BEFORE, MANY_NOW = two(900, None, None), two(900, None, None, **UNPRICED)
MANY_BEFORE = {
    **two(900, None, None, completed_change_cents=None),
    **rows(COMPLETED, {**WHOLE, **UNPRICED, "shipped_month": BEFORE}, {**OPEN, "completed_change_cents": None}),
}

# Five of eighty parcels may be of the month before that in which they count.
LATE = {**coverage(9, dated_by_invoice_count=5), "shipped_month": pd.Timestamp("2027-04-01")}

CASES: dict[str, Case] = {
    "completed.lost": Case(
        month(),
        (
            *(month(completed_margin_cents=0), month(is_completed=True), NO_BENCH, {**NO_BENCH, **UNLINKED}, {}),
            month(by_invoice=5),
            {**month(), **rows("marts.coverage", coverage(), LATE)},
            month(**UNPRICED),
        ),
        "shipping in March 2027 is expected to lose money: -$50.00 on 80 parcels.",
    ),
    "completed.made": Case(
        {**NO_BENCH, **SOLD, **row(COMPLETED, **{**OPEN, "completed_margin_cents": 5})},
        (month(), month(completed_margin_cents=5, is_completed=True), month(benched=0, completed_margin_cents=5)),
        "is expected to pay for itself: $0.05 on 80 parcels",
    ),
    "completed.lost_with_sales": Case(
        month(sales_to_ship_count=1),
        (month(sales_to_ship_count=0), month(sales_to_ship_count=1, completed_margin_cents=5)),
        "is expected to lose money: -$50.00 on 80 parcels and 1 sale without one.",
    ),
    "completed.made_with_sales": Case(
        month(sales_to_ship_count=2, completed_margin_cents=5),
        (month(completed_margin_cents=5, sales_to_ship_count=0), month(sales_to_ship_count=2)),
        "is expected to pay for itself: $0.05 on 80 parcels and 2 sales without one",
    ),
    "completed.interval": Case(
        month(),
        (
            *(month(is_completed=True), month(**NOT_KNOWN), month(is_completed=None, **NOT_KNOWN), NO_BENCH),
            *(month(**FEW_UNPRICED), month(**UNPRICED)),
        ),
        "Eight of ten such months end between -$80.00 and -$20.00.",
    ),
    "completed.billed_so_far": Case(
        month(),
        (month(carriage_to_come_cents=0), month(is_completed=True), NO_BENCH),
        "Of the carriage, $700.00 is billed so far; $100.00 is still to be billed (interval $90.00 to $115.00).",
    ),
    "completed.sales_to_ship": Case(
        month(sales_to_ship_count=1, income_to_come_cents=900),
        (month(), NO_BENCH),
        "In that are 1 sale without a parcel on record, with $9.00 of shipping paid, after refunds and fees.",
    ),
    "completed.damage_to_come": Case(
        month(),
        (
            *(month(damage_to_come_cents=0), month(damage_to_come_cents=None)),
            *(month(is_completed=True), month(is_completed=None), month(damage_to_come_high_cents=3_000)),
        ),
        "Damage still to be reported, less what carriers pay for it: $30.00 (interval $0.00 to $60.00).",
    ),
    "completed.damage_seldom_to_come": Case(
        month(damage_to_come_cents=523, damage_to_come_high_cents=523),
        (month(), month(damage_to_come_cents=0, damage_to_come_high_cents=0), month(is_completed=True), NO_BENCH),
        "is counted with $5.23: in nine of ten such months it comes to no more",
    ),
    "completed.damage_not_known": Case(
        month(is_completed=None, **NOT_KNOWN),
        (
            *(month(), month(damage_to_come_cents=None, is_completed=True), month(benched=0, **NOT_KNOWN)),
            *(month(**FEW_UNPRICED), month(**UNPRICED)),
        ),
        "too few claims on record say how late they come.",
    ),
    "completed.recovery_to_come": Case(
        month(recovery_to_come_cents=400), (month(), NO_BENCH), "Carriers are expected to pay $4.00 on open claims."
    ),
    "completed.unpriced": Case(month(unpriced_count=1), (month(), {}), "What 1 parcel cost is not included"),
    "completed.no_month_before": Case(month(), (BETTER, {}, month(parcel_count=0))),
    "completed.rose": Case(
        BETTER,
        (WORSE, UNSURE, two(900, 0, 1_700), BETTER_SO_FAR, FEW_BEFORE, MANY_BEFORE, MANY_NOW, FIRST),
        "That is better than February 2027 (-$50.00 on 80 parcels).",
    ),
    "completed.fell": Case(
        WORSE, (BETTER, UNSURE, two(-900, -1_700, 0), WORSE_SO_FAR, FIRST), "That is worse than February 2027"
    ),
    "completed.not_clear": Case(
        BETTER_SO_FAR,
        (BETTER, WORSE, two(0, 0, 0), MANY_BEFORE, MANY_NOW, FIRST),
        "Whether it is better or worse than February 2027 (-$50.00 on",
    ),
    "completed.same": Case(
        two(0, 0, 0), (UNSURE, BETTER, SAME_SO_FAR, two(0, None, None), FIRST), "That is the same as in February 2027"
    ),
    "completed.change": Case(SURE, (BETTER, two(0, 0, 0), FIRST), "The change is +$9.00."),
    "completed.change_expected": Case(
        BETTER,
        (SURE, FIRST, two(0, -5, 5), BETTER_SO_FAR, FEW_BEFORE),
        "The change is +$9.00 (interval +$1.00 to +$17.00).",
    ),
    "completed.not_comparable": Case(
        two(900, 100, 1_700, benched_before=0),
        (BETTER, MANY_BEFORE, MANY_NOW, FIRST, {}),
        "It is not compared with February 2027: the records",
    ),
    "completed.unpriced_not_compared": Case(
        MANY_BEFORE,
        (BETTER, FEW_BEFORE, two(900, 100, 1_700, benched_before=0), FIRST, {}),
        "It is not compared with February 2027: what parcels of one or both months cost is not known.",
    ),
}
