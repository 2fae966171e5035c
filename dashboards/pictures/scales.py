"""From values to places on a picture: linear scales, round ticks, months."""

import math
from collections.abc import Iterable
from dataclasses import dataclass

from dashboards import formats
from dashboards.pictures.picture import Axis
from models.columns import Display
from models.shop_units import number

ROUND = (1.0, 2.0, 2.5, 5.0, 10.0)


@dataclass(frozen=True)
class Linear:
    """A straight scale from values low to high onto places start to end."""

    low: float
    high: float
    start: float
    end: float

    def at(self, value: float) -> float:
        """The place of a value."""
        return self.start + (value - self.low) / (self.high - self.low) * (self.end - self.start)


def span(values: Iterable[float | None], *, from_zero: bool) -> tuple[float, float]:
    """The least and the greatest value, with zero where the axis begins there; never of no length."""
    known = [value for value in values if value is not None] + ([0.0] if from_zero else [])
    low, high = min(known, default=0.0), max(known, default=0.0)
    return (low, high) if high > low else (low, low + (abs(low) or 1.0))


def ticks(low: float, high: float, most: int, *, whole: bool = False) -> list[float]:
    """At most `most` round values that part low to high evenly. whole: no fractions of one."""
    step = _step((high - low) / max(most - 1, 1))
    step = max(1.0, math.ceil(step)) if whole else step
    first, last = math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9)
    return [round(at * step, 10) + 0.0 for at in range(first, last + 1)]


def _step(least: float) -> float:
    power = 10.0 ** math.floor(math.log10(least))
    return next(part * power for part in ROUND if part * power >= least * (1 - 1e-9))


def widened(low: float, high: float, most: int) -> tuple[float, float]:
    """The span reaching out to round values, so that every mark lies between two ticks."""
    step = _step((high - low) / max(most - 1, 1))
    return math.floor(low / step + 1e-9) * step, math.ceil(high / step - 1e-9) * step


def written(value: float, axis: Axis) -> str:
    """A tick as its axis writes it."""
    if axis.display in (Display.MONEY, Display.CHANGE):
        amount = number(abs(value))
        amount += "0" if "." in amount[-2:] else ""  # $7.50, as amounts are written
        return f"{'-' if value < 0 else ''}{axis.sign}{amount}"
    if axis.display is Display.RATE:
        return f"{number(100 * value, 1)}%"
    if axis.display is Display.MONTH:
        return month_name(int(value))
    return number(value, 3)


def month_name(ordinal: int) -> str:
    """The month of an ordinal (12 x year + month - 1) as axes write it: Oct 2026."""
    return f"{formats.MONTHS[ordinal % 12][:3]} {ordinal // 12}"
