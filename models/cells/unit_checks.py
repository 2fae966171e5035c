"""Whether a column's unit is another than the one it is read in: by what is known of the same goods, and by density.

A column is doubted only where nearly every row contradicts what is known and nearly every row agrees with it in another
unit: feathers beside lead differ by any factor, but not all goods of a shop at once by that of two units.
"""

import math
from collections.abc import Callable, Iterable, Sequence
from enum import StrEnum

from models.cells.units import FACTORS
from models.fields import Quantity

UNITS = {Quantity.WEIGHT: ("lb", "kg", "g", "oz"), Quantity.LENGTH: ("in", "cm", "mm")}

NEARLY_ALL = 0.9
LEAST_ROWS = 8
# Alike: within 15 percent. Other: off by half or more; the nearest units, pounds and kilograms, are off by 2.2.
_ALIKE, _OTHER = math.log(1.15), math.log(1.5)
# A packed parcel weighs what is in it and more, a bill what the parcel weighs and more: scales differ by a few percent.
_LEAST, _MOST, _TOO_LIGHT = 0.95, 4.0, 0.75
# Pounds per cubic inch. Osmium, the densest element, has 22.59 g/cm3 (CRC Handbook of Chemistry and Physics): 0.816.
# Dry air has 1.2 kg/m3 at 20 C (ISO 2533): 0.000043; nothing sealed in a carton weighs less than twice that.
_DENSEST, _LIGHTEST = 0.816, 0.000087
# What packed goods weigh: common practice, no source.
_USUAL = (0.0008, 0.15)


class Known(StrEnum):
    """What a reference says of a measure: it is the same, or it is at least as much."""

    SAME = "the same"
    AT_LEAST = "at least"


def other_units(quantity: Quantity, unit: str, pairs: Sequence[tuple[float, float]], known: Known) -> tuple[str, ...]:
    """The units in which nearly all pairs of measure and reference agree, where they do not in `unit`, as read.

    Nothing below LEAST_ROWS pairs.
    """
    if len(pairs) < LEAST_ROWS:
        return ()
    contradicts, agrees = _TESTS[known]
    ratios = [measure / reference for measure, reference in pairs if measure > 0 and reference > 0]
    if not _nearly_all(map(contradicts, ratios), len(pairs)):
        return ()
    return tuple(
        other
        for other, factor in _factors(quantity, unit)
        if _nearly_all((agrees(ratio * factor) for ratio in ratios), len(pairs))
    )


def impossible_density(densities: Sequence[float]) -> bool:
    """Whether nearly all parcels (pounds per cubic inch) are denser than any matter, or lighter than packed air."""
    odd = (density > _DENSEST or density < _LIGHTEST for density in densities)
    return len(densities) >= LEAST_ROWS and _nearly_all(odd, len(densities))


def usual_in(densities: Sequence[float], quantity: Quantity, unit: str) -> tuple[str, ...]:
    """The units in which nearly all densities would be usual, if the measures of this quantity were in them."""
    power = 1 if quantity is Quantity.WEIGHT else -3
    low, high = _USUAL
    return tuple(
        other
        for other, factor in _factors(quantity, unit)
        if _nearly_all((low <= density * factor**power <= high for density in densities), len(densities))
    )


def _factors(quantity: Quantity, unit: str) -> list[tuple[str, float]]:
    """By how much a measure read in `unit` grows where it is in another one."""
    per = FACTORS[quantity]
    return [(other, float(per[other] / per[unit])) for other in UNITS[quantity] if per[other] != per[unit]]


def _nearly_all(holds: Iterable[bool], count: int) -> bool:
    return sum(holds) >= NEARLY_ALL * count


def _is_other(ratio: float) -> bool:
    return abs(math.log(ratio)) > _OTHER


def _is_alike(ratio: float) -> bool:
    return abs(math.log(ratio)) <= _ALIKE


_TESTS: dict[Known, tuple[Callable[[float], bool], Callable[[float], bool]]] = {
    Known.SAME: (_is_other, _is_alike),
    Known.AT_LEAST: (lambda ratio: ratio < _TOO_LIGHT, lambda ratio: _LEAST <= ratio <= _MOST),
}
