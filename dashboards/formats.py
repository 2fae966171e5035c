"""How a value of a table is written: money, rates, counts, days, months. Nothing here changes a value."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

import pandas as pd

from models import columns
from models.cells.currencies import minor_digits as minor_digits
from models.columns import Display
from models.fields import LONGEST_TEXT
from models.shop_units import LENGTH, WEIGHT, Measure, Units
from models.shop_units import number as number

UNKNOWN = "unknown"
MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)

# Only signs that cannot be mistaken for another currency's; all others are written as their code.
SIGNS = {"USD": "$", "EUR": "€", "GBP": "£", "JPY": "¥"}

# Control characters, and marks that turn the direction of the text after them.
UNSEEN = re.compile(
    r"[\x00-\x1f\x7f-\x9f\u061c\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff\ufff9-\ufffb\ud800-\udfff]"
)


def major(cents: int, currency: str) -> Decimal:
    """The amount in the major unit, exact: 2400 minor units of USD are 24.00."""
    return Decimal(int(cents)).scaleb(-minor_digits(currency))


def money(cents: int, currency: str) -> str:
    """An amount in minor units, written with its currency; a minus stands before everything: -$24.00."""
    return _signed(major(cents, currency), minor_digits(currency), currency)


def fine_money(cents: Decimal, currency: str) -> str:
    """An amount in minor units and parts of them, with as many decimals as it has: $0.125."""
    amount = Decimal(cents).scaleb(-minor_digits(currency)).normalize()
    return _signed(amount, max(minor_digits(currency), -int(amount.as_tuple().exponent)), currency)


def _signed(amount: Decimal, digits: int, currency: str) -> str:
    sign = SIGNS.get(currency, f"{currency} ")
    return f"{'-' if amount < 0 else ''}{sign}{abs(amount):,.{digits}f}"


def rate(share: float) -> str:
    """A fraction as percent, to one decimal."""
    return f"{100 * float(share):.1f}%"


def count(pieces: int) -> str:
    """A whole number with thousands parted."""
    return f"{int(pieces):,}"


def day(when: dt.date) -> str:
    """A day: 5 Oct 2026."""
    return f"{when.day} {MONTHS[when.month - 1][:3]} {when.year}"


def month(when: dt.date) -> str:
    """A month: October 2026."""
    return f"{MONTHS[when.month - 1]} {when.year}"


def short_month(when: dt.date) -> str:
    """A month for an axis: Oct 2026."""
    return f"{MONTHS[when.month - 1][:3]} {when.year}"


def instant(when: dt.datetime) -> str:
    """A day and time of day: 1 Nov 2026 06:00."""
    return f"{day(when)} {when:%H:%M}"


def plain(text: object, longest: int = LONGEST_TEXT) -> str:
    """The text on one line, without unseen characters, cut to `longest` characters (a contract allows no more)."""
    start = str(text)[: 20 * longest]  # no more is read of a text of any length
    line = UNSEEN.sub("", re.sub(r"\s+", " ", start)).strip()
    return line if len(line) <= longest else line[: longest - 1].rstrip() + "…"


def is_unknown(cell: Any) -> bool:
    """Whether the cell is null: not known, which is not the same as none."""
    return bool(pd.isna(cell))


@dataclass(frozen=True)
class Writing:
    """How values of one display are written: on a page, as a cell of a workbook and its format there, on an axis."""

    page: Callable[[Any, Units], str]
    cell: Callable[[Any, Units], Any]
    sheet: Callable[[Units], str]
    axis: str = ",~f"


def _money_sheet(currency: str) -> str:
    """An amount below zero keeps its minus before the currency's sign."""
    digits = minor_digits(currency)
    plain_amount = f'"{SIGNS.get(currency, f"{currency} ")}"#,##0{"." + "0" * digits if digits else ""}'
    return f"{plain_amount};-{plain_amount}"


def _writing(page: Callable[[Any], str], cell: Callable[[Any], Any], sheet: str, axis: str = ",~f") -> Writing:
    return Writing(lambda value, _: page(value), lambda value, _: cell(value), lambda _: sheet, axis)


def _day(value: Any) -> dt.date:
    return dt.date(value.year, value.month, value.day)


def _measured(measure: Measure) -> Writing:
    """A length or weight in the shop's unit, which stands beside it: in the header, or behind it in a sentence."""
    return Writing(
        page=lambda value, units: units.written(measure, value),
        cell=lambda value, units: units.value(measure.inner.ending, value),
        sheet=lambda units: f"#,##0.{'0' * units.unit(measure).places}",
    )


_MONEY = Writing(
    page=lambda value, units: money(value, units.currency),
    cell=lambda value, units: major(value, units.currency),
    sheet=lambda units: _money_sheet(units.currency),
)
WRITINGS: dict[Display, Writing] = {
    Display.TEXT: _writing(plain, str, "General"),
    Display.COUNT: _writing(count, int, "#,##0", ",d"),
    Display.MONEY: _MONEY,
    Display.CHANGE: replace(
        _MONEY, page=lambda value, units: ("+" if value > 0 else "") + money(value, units.currency)
    ),
    Display.LENGTH: _measured(LENGTH),
    Display.WEIGHT: _measured(WEIGHT),
    Display.NUMBER: _writing(number, float, "#,##0.00"),
    Display.RATE: _writing(rate, float, "0.0%", ".1~%"),
    Display.FLAG: _writing(lambda value: "yes" if value else "no", bool, "General"),
    Display.DAY: _writing(day, _day, "yyyy-mm-dd"),
    Display.MONTH: _writing(month, _day, "mmm yyyy"),
    Display.INSTANT: _writing(instant, lambda value: pd.Timestamp(value).to_pydatetime(), "yyyy-mm-dd hh:mm"),
}


def shown(cell: Any, column: str, units: Units) -> str:
    """The column's cell as a table writes it, a measure without its unit; `unknown` for null."""
    return UNKNOWN if is_unknown(cell) else WRITINGS[columns.display(column)].page(cell, units)


def spoken(cell: Any, column: str, units: Units) -> str:
    """The same within a sentence, where no header says the unit of a measure."""
    written = shown(cell, column, units)
    return written if is_unknown(cell) or not columns.is_measure(column) else f"{written} {units.sign(column)}"
