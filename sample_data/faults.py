"""Bad rows: for every kind of record, a row for each way in which its contract can be broken.

Each bad row is a good row of the same source with one thing changed and a key that nothing else uses, so the
contract itself (models/) decides how many there are.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from models.fields import LONGEST_TEXT, Condition, Quantity
from models.reference import RECORDS
from models.rules import AtMost

Row = dict[str, Any]
NUMBERS = (Quantity.COUNT, Quantity.MONEY, Quantity.LENGTH, Quantity.WEIGHT, Quantity.MINUTES, Quantity.FRACTION)
MEASURED = (Quantity.MONEY, Quantity.LENGTH, Quantity.WEIGHT)
DATES = (Quantity.DATE, Quantity.INSTANT)
# Contract unit -> how many of the source's unit.
PER_UNIT = {"cm": 2.54, "mm": 25.4, "in": 1.0, "lb": 1.0, "kg": 0.45359237, "g": 453.59237, "cents": 1.0}
DAY = {n: dt.date(2026, 5, n) for n in range(1, 29)}

# Rules between columns: the column named first, and the cells that break just this rule (None: left empty).
RULE_BREAKS: dict[str, tuple[dict[str, Any], ...]] = {
    "sales": (
        {"item_type": None, "sku": None, "title": None},
        {"shipping_refunded_cents": 2_000, "shipping_charged_cents": 1_000},
        {"shipping_tax_cents": 1_100, "shipping_charged_cents": 1_000, "shipping_refunded_cents": None},
    ),
    "cartons": (
        {"inside_width_in": 30, "inside_length_in": 20, "outside_length_in": None, "outside_width_in": None},
        {"inside_length_in": 30, "outside_length_in": 29},
        {"inside_width_in": 12, "outside_width_in": 11, "inside_length_in": 20, "outside_length_in": 21},
        {"inside_height_in": 50, "outside_height_in": 49},
        {"minimum_height_in": 20, "inside_height_in": 15, "outside_height_in": 16},
        {"is_price_of_several": True, "pack_quantity": None},
        {"telescope_overlap_in": 20, "inside_height_in": 15, "outside_height_in": 16, "minimum_height_in": None},
    ),
    "weights": (
        {"length_in": 20, "width_in": None, "height_in": None},
        {"width_in": 20, "length_in": None, "height_in": None},
        {"height_in": 20, "length_in": None, "width_in": None},
        {"cut_height_in": 10, "carton_code": None},
        {"line_number": 1, "sale_id": None},
        {"line_number": 1, "packed_quantity": None},
        {"packed_quantity": 1, "line_number": None},
        # Nothing but the parcel and what only a packed parcel has.
        dict.fromkeys(
            (
                *("sale_id", "line_number", "packed_quantity", "shipped_on", "carton_code", "cut_height_in"),
                *("packing_method", "scale_weight_lb", "length_in", "width_in", "height_in"),
            )
        ),
    ),
    "charges": (
        {"billed_length_in": 20, "billed_width_in": None, "billed_height_in": None},
        {"billed_width_in": 20, "billed_length_in": None, "billed_height_in": None},
        {"billed_height_in": 20, "billed_length_in": None, "billed_width_in": None},
        {"shipped_on": DAY[9], "invoiced_on": DAY[8]},
    ),
    "claims": (
        {"opened_on": DAY[9], "filed_on": DAY[8], "decided_on": DAY[20]},
        {"filed_on": DAY[9], "decided_on": DAY[8], "opened_on": DAY[1]},
        {"paid_cents": 5000, "claimed_cents": 4000},
        {"paid_cents": 4000, "claimed_cents": 3999},
    ),
    "returns": ({"returned_on": DAY[9], "resold_on": DAY[8]},),
}


@dataclass(frozen=True)
class BadRow:
    """Cells of a row, and the contract column and reason for which it must be refused."""

    cells: Row | list[Any]
    column: str
    reason: str


class Source:
    """One [[source]] of dunnage.toml, and how it would spell a value."""

    def __init__(self, table: Mapping[str, Any]) -> None:
        self.table = table
        self.schema = RECORDS[table["kind"]]
        self.headers: dict[str, str] = {}
        self.units: dict[str, str] = {}
        for column, said in table["columns"].items():
            stated = {"column": said} if isinstance(said, str) else said
            if "column" in stated:
                self.headers[column] = stated["column"]
                self.units[column] = stated.get("unit", "")

    def quantity(self, column: str) -> Quantity:
        return self.schema.columns[column].quantity

    def spell(self, column: str, value: Any) -> Any:
        """A cell that holds the value, given in the contract's unit."""
        if value is None:
            return None if self.table.get("format", "csv") == "xlsx" else ""
        kind = self.quantity(column)
        if kind in DATES:
            return self._date(value, kind)
        if kind is Quantity.MONEY and self.units[column] != "cents":
            value = value / 100
        number = value * PER_UNIT.get(self.units[column], 1.0)
        plain = f"{number:.2f}" if kind is Quantity.MONEY and self.units[column] != "cents" else f"{number:.12g}"
        return plain.replace(".", self.table.get("decimal", "."))

    def _date(self, value: dt.date, kind: Quantity) -> str:
        day = f"{value:%d/%m/%Y}" if self.table.get("date_order") == "dmy" else f"{value:%Y-%m-%d}"
        return f"{day} 10:00" if kind is Quantity.INSTANT else day


def bad_rows(table: Mapping[str, Any], good: Row) -> list[BadRow]:
    """Every bad row of one source; `good` is a row of it with all cells filled."""
    source = Source(table)
    made = []
    for number, (changes, column, reason) in enumerate(_changes(source), 1):
        cells = dict(good)
        name = next(each for each in source.schema.key if _is_free_text(source, each))
        cells[source.headers[name]] = f"BAD-{number:03d}"
        cells |= {source.headers[each]: cell for each, cell in changes.items()}
        made.append(BadRow(cells, column, reason))
    if table.get("format", "csv") == "csv":
        cells_in_order = list(made[0].cells.values() if isinstance(made[0].cells, dict) else ())
        made.append(BadRow([*good.values(), "one too many"], "", "columns"))
        made.append(BadRow(cells_in_order[:-1], "", "columns"))
    return made


def _is_free_text(source: Source, column: str) -> bool:
    return column in source.headers and source.quantity(column) is Quantity.TEXT


def _changes(source: Source) -> Iterator[tuple[Row, str, str]]:
    for column in source.headers:
        for cell, reason in _cells(source, column):
            yield {column: cell}, column, reason
    for change in RULE_BREAKS.get(source.table["kind"], ()):
        if next(iter(change)) not in source.headers:
            continue
        spelt = {column: source.spell(column, value) for column, value in change.items() if column in source.headers}
        yield spelt, next(iter(change)), "rule"
    yield from _ambiguous(source)


def _cells(source: Source, column: str) -> Iterator[tuple[Any, str]]:
    """Every bad cell of one column, with its reason word."""
    schema_column, kind = source.schema.columns[column], source.quantity(column)
    if not schema_column.nullable:
        yield source.spell(column, None), "missing"
    if kind in NUMBERS:
        yield "twelve", "unreadable"
    if kind is Quantity.FLAG:
        yield "perhaps", "unreadable"
    if kind in DATES:
        yield "31/02/2026" if source.table.get("date_order") else "2026-02-31", "impossible"
    checks = {check.test: check.bound for check in schema_column.checks}
    if Condition.AMONG in checks:
        yield "sideways", "list"
    elif kind is Quantity.TEXT:
        yield "x" * (LONGEST_TEXT + 1), "long"
        # A tab: the one control character that every format can carry.
        yield "a\tb", "control"
    yield from _out_of_range(source, column, checks)


def _out_of_range(source: Source, column: str, checks: Mapping[Condition, Any]) -> Iterator[tuple[Any, str]]:
    ordered = (rule for rule in source.schema.rules if isinstance(rule, AtMost))
    rules = [rule for rule in ordered if set(rule.columns) <= set(source.headers)]
    is_larger, is_smaller = column in [rule.larger for rule in rules], column in [rule.smaller for rule in rules]
    # A cell that left its bounds on the other side would break the order of two columns as well.
    if source.quantity(column) in DATES:
        if not (is_larger and is_smaller):
            yield source.spell(column, dt.date(2100, 1, 2) if is_larger else dt.date(1999, 12, 31)), "range"
        return
    if not is_larger and Condition.MORE_THAN in checks:
        yield source.spell(column, checks[Condition.MORE_THAN]), "range"
    if not is_larger and Condition.AT_LEAST in checks:
        yield source.spell(column, checks[Condition.AT_LEAST] - 1), "range"
    if not is_smaller and Condition.AT_MOST in checks:
        yield source.spell(column, checks[Condition.AT_MOST] + 1), "range"


def _ambiguous(source: Source) -> Iterator[tuple[Row, str, str]]:
    """Day and month the wrong way round, and a lone 1,234: only where the column map and the file leave them open.

    Cells that are texts prove the file's decimal mark, be it of a column of whole numbers in a workbook; where every
    column stores numbers as numbers, as in JSON, nothing proves it.
    """
    has_texts = source.table.get("format", "csv") != "jsonl"
    for column in source.headers:
        kind = source.quantity(column)
        if kind in DATES and "date_order" not in source.table:
            yield {column: "03/04/2026"}, column, "ambiguous"
        elif kind in MEASURED and not has_texts and "decimal" not in source.table and source.units[column] != "cents":
            yield {column: "1,234"}, column, "ambiguous"


def fullest(rows: list[Row]) -> Row:
    """The row with the most cells filled, the first of equals."""
    return max(rows, key=lambda row: sum(cell not in (None, "") for cell in row.values()))
