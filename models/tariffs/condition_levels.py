"""The conditions of a service as levels in one whole number.

The conditions on one measure stand in a row: whoever meets the higher meets the lower. So what a parcel meets of them
is their number, its level. Each measure has a field of bits for its level, to which a condition that holds adds one. An
alternative allows of each measure a range of levels, which is spelt out as few patterns of bits.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import product

from models.tariffs.charges import Condition

# Bits of a whole number that both engines hold, without its sign.
MOST_BITS = 62


@dataclass(frozen=True)
class Level:
    """Where a condition stands among those on its measure: from 1, lowest first. unit: one in the measure's field."""

    unit: int
    number: int
    count: int


Levels = Mapping[Condition, Level]
Pattern = tuple[int, int]


def levels(conditions: Iterable[Condition]) -> dict[Condition, Level]:
    """The level of each condition; they must be turned upward. Its fields may pass MOST_BITS: see `bits_needed`."""
    rows: dict[str, list[Condition]] = {}
    for each in conditions:
        rows.setdefault(each.measure, []).append(each)
    found: dict[Condition, Level] = {}
    shift = 0
    for own in rows.values():
        own.sort(key=lambda each: (each.threshold_milli, not each.is_inclusive))
        found |= {each: Level(2**shift, number, len(own)) for number, each in enumerate(own, 1)}
        shift += len(own).bit_length()
    return found


def bits_needed(conditions: Iterable[Condition]) -> int:
    """The bits of all fields together."""
    fields = {level.unit: level.count.bit_length() for level in levels(conditions).values()}
    return sum(fields.values())


def patterns(conditions: Sequence[Condition], own: Levels) -> list[Pattern]:
    """The bits to look at, and those of them that must be set, for all of the conditions to hold: one pattern suffices.

    No two patterns hold at once. None where the conditions exclude each other.
    """
    ranges: dict[int, tuple[int, int]] = {}
    for each in conditions:
        level = own[each.upward]
        least, most = ranges.get(level.unit, (0, 2 ** level.count.bit_length() - 1))
        ranges[level.unit] = (least, min(most, level.number - 1)) if each.is_below else (max(least, level.number), most)
    widths = {level.unit: level.count.bit_length() for level in own.values()}
    spelt_out = [list(_covered(unit, widths[unit], *bounds)) for unit, bounds in ranges.items()]
    return [(sum(d for d, _ in chosen), sum(m for _, m in chosen)) for chosen in product(*spelt_out)]


def _covered(unit: int, width: int, least: int, most: int) -> Iterator[Pattern]:
    """The fewest patterns of a field that hold for the levels from least to most."""
    while least <= most:
        size = 1
        while least % (2 * size) == 0 and least + 2 * size - 1 <= most:
            size *= 2
        yield (2**width - size) * unit, least * unit
        least += size
