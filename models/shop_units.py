"""The shop's units: how one shop writes amounts and measures, and reads its own. Inside stay inches and pounds.

A measure is known by the end of its name: `length_in`, `weight_lb`. A metric shop sees `length_cm` and `weight_kg`.

Exact factors: 1 in = 2.54 cm and 1 lb = 0.45359237 kg (A. Thompson, B. N. Taylor, "Guide for the Use of the
International System of Units (SI)", NIST Special Publication 811, 2008, appendix B.8).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING, cast

from models.plain_rows import PlainRows

if TYPE_CHECKING:
    import pandas as pd

INCH, METRIC = "inch", "metric"
SYSTEMS = (METRIC, INCH)
CM_PER_IN = Fraction(254, 100)
KG_PER_LB = Fraction("0.45359237")
# A file keeps hundredths of a millimetre and grams: rating compares no finer (models/sql/rating/measures.sql).
FILE_PLACES = 3
SIXTEENTHS = 16


@dataclass(frozen=True)
class Unit:
    """A unit as it is written: its sign, the end of a column's name, and the decimals that a reader sees."""

    sign: str
    ending: str
    places: int


@dataclass(frozen=True)
class Measure:
    """One kind of measure in both systems. per_inner: metric units in one of the unit that is kept."""

    inner: Unit
    metric: Unit
    per_inner: Fraction


LENGTH = Measure(Unit("in", "_in", 2), Unit("cm", "_cm", 1), CM_PER_IN)
WEIGHT = Measure(Unit("lb", "_lb", 1), Unit("kg", "_kg", 2), KG_PER_LB)
DIVISOR = Measure(Unit("in3/lb", "_in3_per_lb", 1), Unit("cm3/kg", "_cm3_per_kg", 0), CM_PER_IN**3 / KG_PER_LB)
# What is paid for a volume: a foot is twelve inches, a metre a hundred centimetres.
BY_VOLUME = Measure(
    Unit("cents/ft3", "_cents_per_ft3", 2), Unit("cents/m3", "_cents_per_m3", 2), (100 / (12 * CM_PER_IN)) ** 3
)
DENSITY = Measure(
    Unit("lb/ft3", "_lb_per_ft3", 2), Unit("kg/m3", "_kg_per_m3", 1), KG_PER_LB * (100 / (12 * CM_PER_IN)) ** 3
)
QUOTIENTS = (DIVISOR, BY_VOLUME, DENSITY)
MEASURES = (*QUOTIENTS, LENGTH, WEIGHT)


@cache
def measure_of(name: str) -> Measure | None:
    """What a column or setting of that name measures; None where it is no length, weight, divisor or price by volume.

    A factor such as `length_per_in` is none.
    """
    found = next((each for each in MEASURES if name.endswith((each.inner.ending, each.metric.ending))), None)
    return None if found not in QUOTIENTS and "_per_" in name else found


def both_units(name: str) -> tuple[Unit, ...]:
    """The two units in which a column or setting of that name may be stated; none where it is no measure."""
    measure = measure_of(name)
    return (measure.inner, measure.metric) if measure else ()


def kept_name(name: str) -> str:
    """The name under which a measure is kept: length_cm is length_in. Any other name stays as it is."""
    measure = measure_of(name)
    if measure is None or name.endswith(measure.inner.ending):
        return name
    return name.removesuffix(measure.metric.ending) + measure.inner.ending


def kept_value(name: str, stated: float) -> float:
    """The value that is kept for one stated under that name: 2.54 under reach_cm is 1. Exact but for the last bit."""
    measure = measure_of(name)
    return stated if measure is None or kept_name(name) == name else float(Fraction(str(stated)) / measure.per_inner)


def sixteenths(length_in: float) -> str:
    """A length as a rule shows it, to the nearest sixteenth: 5 7/16."""
    over = round(length_in * SIXTEENTHS)
    whole, part = divmod(abs(over), SIXTEENTHS)
    fraction = str(Fraction(part, SIXTEENTHS)) if part else ""
    return ("-" if over < 0 else "") + (" ".join(filter(None, (str(whole) if whole else "", fraction))) or "0")


def number(value: float, places: int = 2) -> str:
    """A number with at most so many decimals, thousands parted, trailing zeros dropped."""
    rounded = round(float(value), places) + 0.0  # adding zero turns -0.0 into 0.0
    written = f"{rounded:,.{places}f}"
    return written.rstrip("0").rstrip(".") if places else written


_MEASURE = re.compile(
    r"\b(?P<name>[a-z][a-z0-9_]*_(?:in|lb))\b|(?<![\w.,'\"])(?P<value>-?\d+(?:\.\d+)?) (?P<unit>in|lb)\b"
)


@dataclass(frozen=True)
class Units:
    """How a shop writes: its currency (ISO 4217) and its system of measures, INCH or METRIC."""

    currency: str
    system: str = INCH

    @property
    def is_metric(self) -> bool:
        """Whether it writes centimetres and kilograms."""
        return self.system == METRIC

    def unit(self, measure: Measure) -> Unit:
        """The unit in which the shop sees a measure."""
        return measure.metric if self.is_metric else measure.inner

    def sign(self, name: str) -> str:
        """The sign of the unit that a column's values have on every surface; empty where it is no measure."""
        measure = measure_of(name)
        return self.unit(measure).sign if measure else ""

    def name(self, name: str) -> str:
        """A column's name as the shop sees it: length_cm for length_in."""
        measure = measure_of(name)
        if measure is None:
            return name
        kept = kept_name(name)
        return kept.removesuffix(measure.inner.ending) + self.unit(measure).ending

    def factor(self, name: str) -> float:
        """By what a kept value of the column is multiplied to be seen; 1 where it is no measure."""
        measure = measure_of(name)
        return self._factor(measure) if measure else 1.0

    def _factor(self, measure: Measure) -> float:
        return float(measure.per_inner) if self.is_metric else 1.0

    def value(self, name: str, kept: float) -> float:
        """A kept value as a file of the shop holds it: inches and pounds as they are, metric to FILE_PLACES."""
        factor = self.factor(name)
        return round(float(kept) * factor, FILE_PLACES) if factor != 1.0 else float(kept)

    def written(self, measure: Measure, kept: float) -> str:
        """A kept value as a reader sees it, without its unit: 121.9 for 48 inches in a metric shop."""
        return number(float(kept) * self._factor(measure), self.unit(measure).places)

    def measured(self, measure: Measure, *kept: float) -> str:
        """Kept values with their unit: 121.9 x 20.3 x 20.3 cm."""
        return f"{' x '.join(self.written(measure, each) for each in kept)} {self.unit(measure).sign}"

    def at_bench(self, measure: Measure, kept: float) -> str:
        """A kept value with its unit, as the rule and the scale of the bench show it: lengths in sixteenths."""
        is_ruled = measure is LENGTH and not self.is_metric
        written = sixteenths(kept) if is_ruled else self.written(measure, kept)
        return f"{written} {self.unit(measure).sign}"

    def for_models(self) -> dict[str, object]:
        """What shop.settings says to the SQL models that write measures into a text, by column."""
        return {
            f"shown_{name}_{what}": value
            for name, measure in (("length", LENGTH), ("weight", WEIGHT))
            for what, value in (
                ("unit", self.unit(measure).sign),
                ("factor", self._factor(measure)),
                ("steps", 10 ** self.unit(measure).places),
            )
        }

    def converted(self, text: str) -> str:
        """A sentence of ours with the names and bounds of measures as the shop sees them: `length_in`, `1000 in`."""
        return _MEASURE.sub(self._converted, text) if self.is_metric else text

    def _converted(self, found: re.Match[str]) -> str:
        if found["name"]:
            return self.name(found["name"])
        measure = LENGTH if found["unit"] == LENGTH.inner.sign else WEIGHT
        return self.measured(measure, float(found["value"]))

    def seen(self, frame: pd.DataFrame) -> pd.DataFrame:
        """The frame as a file of the shop holds it: measures in its units, under its names for them."""
        if isinstance(frame, PlainRows):
            return cast("pd.DataFrame", self._seen_plain(frame))
        names = [str(name) for name in frame.columns if self.name(str(name)) != name]
        converted = {name: (frame[name].astype("float64") * self.factor(name)).round(FILE_PLACES) for name in names}
        return frame.assign(**converted).rename(columns={name: self.name(name) for name in names})

    def _seen_plain(self, rows: PlainRows) -> PlainRows:
        names = [name for name in rows.columns if self.name(name) != name]
        seen = {name: [None if cell is None else self.value(name, cell) for cell in rows[name]] for name in names}
        found = rows.assign(**seen)
        return PlainRows([self.name(name) for name in found.columns], found.itertuples(), found.index)
