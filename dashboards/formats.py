"""How a value of a table is written: money, rates, counts, days, months. Nothing here changes a value."""

import datetime as dt
import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from dashboards.values import MONTHS as MONTHS
from dashboards.values import SIGNS as SIGNS
from dashboards.values import UNSEEN as UNSEEN
from dashboards.values import count as count
from dashboards.values import day as day
from dashboards.values import fine_money as fine_money
from dashboards.values import fine_rate as fine_rate
from dashboards.values import instant as instant
from dashboards.values import major as major
from dashboards.values import minor_digits as minor_digits
from dashboards.values import money as money
from dashboards.values import month as month
from dashboards.values import plain as plain
from dashboards.values import rate as rate
from dashboards.values import short_month as short_month
from dashboards.values import whole_rate as whole_rate
from models import columns
from models.claims.texts import NOT_KNOWN as NOT_KNOWN
from models.columns import Display
from models.plain_rows import UNNAMED as UNNAMED
from models.plain_rows import is_null
from models.shop_units import LENGTH, WEIGHT, Measure, Units
from models.shop_units import number as number

# From here on amounts are whole major units in prose and pictures, and shares whole percent; of smaller ones the cents
# are the amount.
WHOLE_FROM, WHOLE_SHARE = 10, 0.1


def whole(cents: int, currency: str) -> int:
    """The amount in minor units, rounded to a whole major unit, half away from zero."""
    unit = 10 ** minor_digits(currency)
    return int(math.copysign((abs(int(cents)) + unit // 2) // unit * unit, int(cents)))


def is_unknown(cell: Any) -> bool:
    """Whether the cell is null, or a mart's word for a group without a name: not known, and not none."""
    return is_null(cell) or (isinstance(cell, str) and cell == UNNAMED)


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


def _said(value: Any) -> str:
    return "yes" if value else "no"


def _day(value: Any) -> dt.date:
    return dt.date(value.year, value.month, value.day)


def _instant(value: Any) -> dt.datetime:
    return dt.datetime.combine(_day(value), value.time())


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
    Display.RATE: _writing(rate, float, "[>=0.995]0.0%;[>=0.0995]0%;0.0%", ".1~%"),
    Display.FLAG: _writing(_said, _said, "General"),
    Display.DAY: _writing(day, _day, "yyyy-mm-dd"),
    Display.MONTH: _writing(month, _day, "mmm yyyy"),
    Display.INSTANT: _writing(instant, _instant, "yyyy-mm-dd hh:mm"),
}


def shown(cell: Any, column: str, units: Units) -> str:
    """The column's cell as a table writes it, a measure without its unit; `not known` for null."""
    return NOT_KNOWN if is_unknown(cell) else WRITINGS[columns.display(column)].page(cell, units)


def spoken(cell: Any, column: str, units: Units, *, is_rounded: bool = False) -> str:
    """The same within a sentence, where no header says the unit of a measure. is_rounded: amounts of WHOLE_FROM or
    more without cents, shares of a tenth or more in whole percent, for prose beside a table that has the rest."""
    written = UNNAMED if isinstance(cell, str) and cell == UNNAMED else shown(cell, column, units)
    if is_rounded and _is_large(cell, column, units):
        written = WRITINGS[columns.display(column)].page(whole(cell, units.currency), units).split(".")[0]
    if is_rounded and columns.display(column) is Display.RATE and not is_unknown(cell) and abs(cell) >= WHOLE_SHARE:
        written = whole_rate(cell)
    return written if is_unknown(cell) or not columns.is_measure(column) else f"{written} {units.sign(column)}"


def _is_large(cell: Any, column: str, units: Units) -> bool:
    is_amount = columns.display(column) in (Display.MONEY, Display.CHANGE) and not is_unknown(cell)
    return is_amount and abs(major(cell, units.currency)) >= WHOLE_FROM
