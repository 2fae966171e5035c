"""Cells with a type of their own: numbers, days and truth values of workbooks, JSON and Parquet.

Excel keeps 15 significant figures (its published limits); IEEE 754 doubles hold whole numbers exactly up to 2 ** 53.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any

from tests.strangers.groups import Group
from tests.strangers.probes import COUNT, DATE, FLAG, INSTANT, KEY, LENGTH, MONEY, TEXT, WEIGHT
from tests.strangers.spreadsheets import INSTANT as INSTANT_STYLE
from tests.strangers.spreadsheets import PERCENT, TWO_DECIMALS, ErrorCell, Formula, Styled
from tests.strangers.trials import Case, either, refused, valid

NUMBERS = ("xlsx", "json", "jsonl", "parquet")
MIXED = ("xlsx", "json", "jsonl")
# Sums as floats make them: what is meant has two places.
RESIDUES = (
    (33.300000000000004, 3330),
    (0.1 + 0.2, 30),
    (1.1 * 3, 330),
    (4.35 * 100 / 100, 435),
    (1.005 * 1000 / 1000 + 0.005, 101),
    (19.99 * 3, 5997),
    (2.675 + 0.005, 268),
    (1e5 + 0.1, 10000010),
    (-0.1 - 0.7, -80),
)


def groups() -> Iterator[Group]:
    """Native cells, whatever decimal mark the map states for texts."""
    for decimal in (None, ".", ","):
        name = {None: "unstated", ".": "point", ",": "comma"}[decimal]
        yield Group(f"typed money {name}", MONEY, list(_money()), decimal=decimal, forms=NUMBERS)
        yield Group(f"typed weight {name}", WEIGHT, list(_weights()), unit="kg", decimal=decimal, forms=NUMBERS)
    yield Group(
        "typed length",
        LENGTH,
        [valid("a float", cell, cell) for cell in (33.300000000000004, 0.1, 47.5, 12.0, 1e-3)]
        + refused("bounds", 0.0, -1.0, 1000.5, 1e300),
        unit="in",
        forms=NUMBERS,
    )
    yield Group(
        "typed whole money",
        MONEY,
        [valid("whole units", cell, cell * 100) for cell in (0, 1, 12, 1500, -7, 1_000_000)],
        forms=NUMBERS,
    )
    yield Group(
        "typed cents", MONEY, [valid("whole cents", cell, cell) for cell in (0, 1250, -7)], unit="cents", forms=NUMBERS
    )
    yield Group(
        "typed counts",
        COUNT,
        [valid("a whole float", cell, int(cell)) for cell in (1.0, 12.0, 1e5)]
        + refused("no count", 1.5, 0.0, -1.0, 1e6, 2.0000001),
        forms=NUMBERS,
    )
    yield Group(
        "typed flags", FLAG, [valid("a truth value", cell, cell) for cell in (True, False, None, True)], forms=NUMBERS
    )
    yield Group(
        "typed flag numbers",
        FLAG,
        [either("one or nothing", 1, True), either("one or nothing", 0, False), *refused("neither", 2, -1, 5)],
        forms=NUMBERS,
    )
    yield Group(
        "typed days",
        DATE,
        [
            valid("a day", cell, cell)
            for cell in (date(2026, 10, 5), date(2024, 2, 29), date(2000, 1, 1), date(2099, 12, 31), None)
        ]
        + refused("out of bounds", date(1999, 12, 31)),
        forms=NUMBERS,
    )
    yield Group(
        "typed instants",
        INSTANT,
        [
            valid("an instant", cell, cell)
            for cell in (datetime(2026, 10, 3, 14, 25), datetime(2026, 12, 31, 23, 59, 59), datetime(2026, 3, 8, 12))
        ],
        forms=NUMBERS,
    )
    yield Group(
        "typed zoned instants",
        INSTANT,
        [valid("an instant of a zone", datetime(2026, 10, 3, 14, 25, tzinfo=UTC), datetime(2026, 10, 3, 14, 25))],
        forms=("json", "jsonl", "parquet"),
    )
    yield Group(
        "typed days with a time",
        DATE,
        [
            either("a day and a time", datetime(2026, 10, 5, 14, 25), date(2026, 10, 5)),
            valid("a day at midnight", datetime(2026, 10, 6), date(2026, 10, 6)),
        ],
        forms=NUMBERS,
    )
    yield from _keys()
    yield from _misplaced()
    yield Group(
        "typed decimals",
        MONEY,
        [
            valid("an exact decimal", Decimal(cell), cents)
            for cell, cents in (("12.50", 1250), ("-0.05", -5), ("1234567.89", 123456789))
        ],
        forms=("parquet",),
    )
    yield Group(
        "typed finer decimals",
        MONEY,
        [*refused("finer than a cent", Decimal("12.345")), valid("whole cents", Decimal("12.340"), 1234)],
        forms=("parquet",),
    )
    yield Group("workbook cells", MONEY, list(_workbook_cells()), forms=("xlsx",))
    yield Group("workbook texts", TEXT, list(_workbook_texts()), forms=("xlsx",))
    yield Group(
        "workbook days",
        DATE,
        [
            either("the serial number of a day without its format", 46300, date(2026, 10, 5)),
            valid("a day's style", Styled(46300, INSTANT_STYLE), date(2026, 10, 5)),
            *refused("an error", ErrorCell("#VALUE!"), ErrorCell("#N/A")),
        ],
        forms=("xlsx",),
    )


def _money() -> Iterator[Case]:
    yield from (valid("a float with the residue of arithmetic", cell, cents) for cell, cents in RESIDUES)
    yield from (
        valid("a float", cell, cents)
        for cell, cents in (
            (12.5, 1250),
            (1.234e3, 123400),
            (1500.0, 150000),
            (0.0, 0),
            (-5.25, -525),
            (999999.99, 99999999),
        )
    )
    yield from refused("finer than a cent", 12.345, 0.001, 1.2345, 33.3333333333)
    yield from refused("beyond the dictionary's bounds", 1e300, -1e12, 9.40011e21)


def _weights() -> Iterator[Case]:
    pound = 0.45359237
    yield from (
        valid("a float in kg", cell, cell / pound) for cell in (1.234, 1.5, 33.300000000000004, 0.001, 4000.0, 12.0)
    )
    yield valid("blank where it may be", None, None)
    yield from refused("bounds", -1.0, 1e9)


def _keys() -> Iterator[Group]:
    whole = [
        valid("a whole float is written without its point", cell, str(int(cell)))
        for cell in (40017733.0, 40017734.0, 7.0, 123456789012345.0)
    ]
    lost = refused("more figures than the cell can hold", 9.40011e21, 1.2345678901234568e18, 1e22)
    yield Group("typed keys", KEY, [*whole, *lost], forms=NUMBERS)
    numbers = [valid("a whole number", cell, str(cell)) for cell in (40017733, 7, 123456789012345)]
    yield Group("typed whole keys", KEY, numbers, forms=NUMBERS)
    long = [
        valid("a whole number, exact in this format", cell, str(cell))
        for cell in (9007199254740993, 1234567890123456789)
    ]
    yield Group("typed long keys", KEY, long, forms=("json", "jsonl", "parquet"))
    # A program wrote all figures; spreadsheets would have rounded them to fifteen.
    yield Group(
        "workbook long keys",
        KEY,
        [
            either("sixteen figures", 1234567890123456, "1234567890123456"),
            either("eighteen, which stand in the file", 123456789012345678, "123456789012345678"),
        ],
        forms=("xlsx",),
    )
    yield Group(
        "typed texts",
        TEXT,
        [either("a number where a text belongs", cell, str(cell)) for cell in (1.5, 0.25, 12.75)],
        forms=NUMBERS,
    )


def _misplaced() -> Iterator[Group]:
    yield Group("truth as money", MONEY, refused("a truth value is no amount", True, False), forms=NUMBERS)
    yield Group("truth as count", COUNT, refused("a truth value is no count", True, True), forms=NUMBERS)
    yield Group("truth as day", DATE, refused("a truth value is no day", True, False), forms=NUMBERS)
    yield Group(
        "numbers as days", DATE, refused("a number is no day", 5.5, -3.0, 1.79e9), forms=("json", "jsonl", "parquet")
    )
    yield Group(
        "days as money",
        MONEY,
        refused("a day is no amount", date(2026, 10, 5), date(2026, 1, 2)),
        decimal=".",
        forms=NUMBERS,
    )
    yield Group(
        "days as counts", COUNT, refused("a day is no count", date(2026, 10, 5), date(1900, 3, 5)), forms=NUMBERS
    )
    yield Group(
        "days as weights",
        WEIGHT,
        refused("a day is no weight", date(2026, 10, 5), date(1900, 3, 5)),
        unit="lb",
        forms=NUMBERS,
    )
    yield Group("days as flags", FLAG, refused("a day is no yes", date(2026, 10, 5)), forms=NUMBERS)
    nested: list[Any] = [["a"], {"a": 1}, []]
    yield Group("nested", TEXT, refused("a list or an object is no text", *nested), forms=("json", "jsonl"))
    missing = [
        either("not a number, where it may be blank", float("nan"), None),
        *refused("not finite", float("inf"), float("-inf")),
    ]
    yield Group("not finite", WEIGHT, missing, unit="lb", forms=("parquet",))


def _workbook_cells() -> Iterator[Case]:
    yield valid("a number shown with two decimals", Styled(33.300000000000004, TWO_DECIMALS), 3330)
    yield from refused("finer than the cent that is shown", Styled(12.3456, TWO_DECIMALS))
    yield from refused("a percentage", Styled(0.5, PERCENT))
    yield valid("a formula whose value was kept", Formula("A1+A2", 12.5), 1250)
    yield from refused("a formula whose value was never worked out", Formula("A1+A2"), Formula("SUM(B1:B3)"))
    yield from refused(
        "an error", *(ErrorCell(word) for word in ("#N/A", "#REF!", "#DIV/0!", "#VALUE!", "#NAME?", "#NULL!", "#NUM!"))
    )


def _workbook_texts() -> Iterator[Case]:
    yield from refused("a formula whose value was never worked out", Formula("A1&A2"))
    yield from refused("an error is no word", ErrorCell("#N/A"), ErrorCell("#REF!"))
    yield valid("blank where it may be", None, None)
