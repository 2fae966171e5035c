"""Which cells say something: a column or line without one is not shown."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Protocol

import pandas as pd

from dashboards import formats
from dashboards.review_tables import Cell
from models import columns
from models.fields import Quantity

# None of these is a statement: what was earned, what carriers billed, how far a price misses.
ALWAYS_SHOWN = ("margin_cents", "billed_cents", "shipping_charged_cents", "left_out_error_cents")
# Where a class begins: nothing is a place there, as it is of days, and no amount of none.
CLASS_BOUNDS = ("worth_from_cents", "from_margin_cents", "until_margin_cents", "least_worth_cents")
# Counts of what one kind of record holds: where all are zero, the shop does not keep it.
COUNTS_OF_A_KIND = ("benched_parcel_count", "measured_parcel_count", "charged_count", "sold_parcel_count")
# Of a carton that is not used, or lasts longer than is looked ahead.
ORDERED = ("runs_out_on", "order_count", "order_unit_cents", "order_cents")
CHANGE_LIMITS = ("change_low_cents", "change_high_cents")
# Null here means that there can be none: a list without days, the other one of two ways, a change from no month before,
# a rate of no parcels.
CANNOT_BE = {
    "marts.shipping_margin": ("margin_change_cents", "margin_per_parcel_cents", "carriage_per_parcel_cents"),
    "analysis.completed_months": ("completed_change_cents", *CHANGE_LIMITS),
    "analysis.packing_decision": ("wait_parcels", "trial_parcels"),
    "analysis.change_judgements": ("changed_again_on",),
    "marts.record_states": ("first_on", "last_on"),
    **dict.fromkeys(
        ("marts.item_type_costs", "marts.margin_by_service", "marts.margin_by_channel", "marts.margin_by_zone"),
        ("margin_per_parcel_cents",),
    ),
    "marts.near_miss_totals": ("change_in", "change_lb", "other_carton_code"),
    "analysis.margin_band": ("usual_per_parcel_cents", "usual_low_cents", "usual_high_cents", "is_unusual"),
    "analysis.carton_orders": ("last_used_on", *ORDERED),
    "analysis.actions": ("month_low_cents", "month_high_cents", "due_on", "other_way", "other_month_cents"),
}
NOT_APPLICABLE = "n/a"
# What is written for an amount or a number of none in a table of more columns than these, where zeros hide the rest.
NONE, NARROW = "–", 6


class Looked(Protocol):
    """A cell as looked at."""

    @property
    def is_unknown(self) -> bool:
        """Whether no record says it."""

    @property
    def is_nothing(self) -> bool:
        """Whether it is an amount of none."""


def is_nothing(cell: Cell) -> bool:
    """Whether it is an amount of none: a column of such cells says nothing that its absence does not."""
    is_amount = columns.quantity(cell.column) is Quantity.MONEY or cell.column in COUNTS_OF_A_KIND
    return is_amount and not formats.is_unknown(cell.value) and not cell.value


def is_none(column: str, value: Any) -> bool:
    """Whether it is a known amount of money, or a number of things, of none; a margin of nothing is a result, and no
    days left are today."""
    is_place = column in CLASS_BOUNDS or "days" in column.split("_")
    counted = columns.quantity(column) in (Quantity.MONEY, Quantity.COUNT) and column not in ALWAYS_SHOWN
    return counted and not is_place and not formats.is_unknown(value) and not value


def is_wide(column_count: int) -> bool:
    """Whether a table of so many columns writes NONE for zeros, on the page and in the workbook alike."""
    return column_count > NARROW


def says_something(name: str, cells: Sequence[Looked]) -> bool:
    """Whether a column or line has a known cell, and, unless it is always shown, an amount that is not none."""
    if all(cell.is_unknown for cell in cells):
        return False
    return name in ALWAYS_SHOWN or not all(cell.is_nothing or cell.is_unknown for cell in cells)


def cannot_be(table: str, column: str) -> bool:
    """Whether an unknown cell of the column is one that cannot be, rather than one that a record lacks."""
    return column in CANNOT_BE.get(table, ())


def is_lacking(column: str, row: pd.Series[Any]) -> bool:
    """Whether such a cell is one that a record lacks after all: the last day of a dispute or claim that has one, an
    order of a carton whose pieces left, or whose use, are not known, the limits of a change that is known."""
    if column in CHANGE_LIMITS:
        return not formats.is_unknown(row["completed_change_cents"])
    if column in ORDERED:
        return formats.is_unknown(row["stock_left"]) or formats.is_unknown(row["use_basis"])
    return column == "due_on" and (row["action_kind"] == "dispute" or row["claim_task"] == "file")
