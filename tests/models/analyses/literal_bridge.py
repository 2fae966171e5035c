"""The bridge's definition read literally, in exact fractions: one cell and one kind at a time."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import Any

from models.analyses.bridge import ACCOUNT, CELL, ITEM_MIX, KINDS, LANE_MIX, LANE_PRICED, STEPS, VOLUME

Cells = Sequence[Mapping[str, Any]]


def margin(cells: Cells) -> int:
    return sum(sign * int(cell[name]) for cell in cells for signs in KINDS.values() for name, sign in signs.items())


def literal_steps(before: Cells, after: Cells) -> dict[str, Fraction]:
    """The definition read literally, in exact fractions: one cell and one kind at a time."""
    (n0, m0, loose0), (n1, m1, loose1) = _pooled(before), _pooled(after)
    found = dict.fromkeys(STEPS, Fraction(0))
    found[ACCOUNT] = Fraction(loose1 - loose0)
    all0, all1 = sum(n0.values()), sum(n1.values())
    if not all0 + all1:
        return found
    average = Fraction(sum(m0.values()), all0) if all0 else Fraction(sum(m1.values()), all1)
    found[VOLUME] = (all1 - all0) * average
    for item in {cell[0] for cell in (*n0, *n1)}:
        was, now = (sum(n[cell] for cell in n if cell[0] == item) for n in (n0, n1))
        share = Fraction(was, all0) if all0 else Fraction(now, all1)
        per = {kind: _each(item, kind, (m0, was) if was else (m1, now)) for kind in KINDS}
        found[ITEM_MIX] += (now - all1 * share) * (sum(per.values()) - average)
        for cell in {cell for cell in (*n0, *n1) if cell[0] == item}:
            expected = Fraction(n0[cell], was) * now if was else Fraction(n1[cell])
            for kind, is_lane in zip(KINDS, LANE_PRICED, strict=True):
                there = (m0, n0[cell]) if n0[cell] else (m1, n1[cell])
                usual = Fraction(there[0][(*cell, kind)], there[1]) if is_lane else per[kind]
                found[LANE_MIX] += (n1[cell] - expected) * (usual - per[kind])
                found[kind] += m1[(*cell, kind)] - n1[cell] * usual
    return found


def _each(item: str, kind: str, money: tuple[Any, int]) -> Fraction:
    amounts, parcels = money
    return Fraction(sum(cents for key, cents in amounts.items() if key[0] == item and key[-1] == kind), parcels)


def _pooled(cells: Cells) -> tuple[Any, Any, int]:
    """Parcels by cell, signed cents by cell and kind, and the cents of cells without a parcel."""
    parcels: dict[tuple[str, ...], int] = defaultdict(int)
    for cell in cells:
        parcels[tuple(cell[name] for name in CELL)] += cell["parcel_count"]
    money: dict[tuple[str, ...], int] = defaultdict(int)
    loose = 0
    for cell in cells:
        place = tuple(cell[name] for name in CELL)
        for kind, signs in KINDS.items():
            amount = sum(sign * cell[name] for name, sign in signs.items())
            if parcels[place]:
                money[(*place, kind)] += amount
            else:
                loose += amount
    sent = defaultdict(int, {place: count for place, count in parcels.items() if count})
    return sent, money, loose
