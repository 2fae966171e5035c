"""What share of a room pieces take at least when their sides are measured by conservative scales; exact and per way.

A scale replaces the sides along one axis so that whatever lay side by side still does; measured by one scale per axis,
pieces that lie in a room together still have no more volume than it. Scales come from the sides themselves, so that
they tell most where a room is nearly full. Sources: S. P. Fekete and J. Schepers, "A general framework for bounds for
higher-dimensional orthogonal packing problems", Mathematical Methods of Operations Research 60 (2004), for `_by_steps`
and `_by_share`; J. Carlier, F. Clautiaux and A. Moukrim, "New reduction procedures and lower bounds for the
two-dimensional bin packing problem with fixed orientation", Computers & Operations Research 34 (2007), for `_in_units`.
"""

from collections.abc import Iterator, Sequence
from functools import lru_cache
from math import prod

import numpy as np
from numpy.typing import NDArray

from models.packing.bounds import usable_ways
from models.packing.needed import Micro, Piece
from models.packing.waste import narrowed, spare_volume

Floats = NDArray[np.float64]
Singles = NDArray[np.float32]
Rows = NDArray[np.int64]
Ways = Sequence[tuple[Micro, ...]]

# Scales kept per axis, those by which pieces take most; any number gives true answers.
MOST_SCALES = 16
_STEPS = range(1, 9)
# Shares are sums of a dozen products of three floats, kept in single precision (6e-8 each), which halves the time of a
# search; the scales themselves are reckoned in whole numbers.
ROUNDING = 1e-5


class Shares:
    """The least share of the room for every piece and set of its ways, for every triple of one scale per axis that may
    tell something. ways: of each piece; only of some of them is it asked afterwards."""

    def __init__(self, ways: Ways, room: Micro) -> None:
        self._numbers = {way: number for number, way in enumerate(sorted({way for each in ways for way in each}))}
        sides = np.array(list(self._numbers), dtype=np.int64).reshape(-1, 3)
        times = np.zeros(len(sides))
        for each in ways:
            times[[self._numbers[way] for way in each]] += 1 / max(1, len(each))
        plain = sides / np.array(room)
        faces = [times * np.delete(plain, axis, axis=1).prod(axis=1) for axis in range(3)]
        scales = [_kept_scales(sides[:, axis], room[axis], faces[axis]) for axis in range(3)]
        shares = np.einsum("iw,jw,kw->wijk", *scales).astype(np.float32)
        self._by_way = shares.reshape(len(sides), prod(shares.shape[1:]))
        self._by_way = self._by_way[:, self._telling(ways)]
        self.triples = self._by_way.shape[1]
        self._known: dict[tuple[Micro, ...], Singles] = {}

    def _telling(self, ways: Ways) -> Rows:
        """Triples by which all pieces together could take more than the room; of those that say the same, the first."""
        could_take = np.sum([self._of(each).max(axis=0, initial=0.0) for each in ways], axis=0)
        rows = np.flatnonzero(could_take > 1 + ROUNDING)
        _, distinct = np.unique(self._by_way[:, rows], axis=1, return_index=True)
        return np.asarray(rows[np.sort(distinct)], dtype=np.int64)

    def least(self, ways: tuple[Micro, ...]) -> Singles:
        """Least share over these ways of one piece, by each triple of scales that may tell something."""
        if ways not in self._known:
            self._known[ways] = self._of(ways).min(axis=0)
        return self._known[ways]

    def _of(self, ways: tuple[Micro, ...]) -> Singles:
        return np.asarray(self._by_way[[self._numbers[way] for way in ways]])

    def narrowed(self, ways: Ways) -> list[tuple[Micro, ...]]:
        """The ways that leave the others room by every triple of scales; none at all where the pieces never have it."""
        together = np.sum([self.least(each) for each in ways], axis=0)
        if _overfills(together):
            return [() for _ in ways]
        return [each if len(each) == 1 else self._beside(each, together) for each in ways]

    def _beside(self, ways: tuple[Micro, ...], together: Singles) -> tuple[Micro, ...]:
        others = together - self.least(ways)
        is_left = (self._of(ways) + others).max(axis=1, initial=0.0) <= 1 + ROUNDING
        return tuple(way for way, is_kept in zip(ways, is_left.tolist(), strict=True) if is_kept)

    def strictest(self, ways: Ways, most: int) -> list[Floats]:
        """Shares of each piece by its ways, (triples, ways), for the triples by which all could together take most."""
        each = [self._of(of_piece).T for of_piece in ways]
        could_take = np.sum([shares.max(axis=1) for shares in each], axis=0)
        rows = np.argsort(-could_take, kind="stable")[:most]
        rows = rows[could_take[rows] > 1 + ROUNDING]
        _, distinct = np.unique(np.hstack([shares[rows] for shares in each]), axis=0, return_index=True)
        return [shares[rows[np.sort(distinct)]].astype(np.float64) for shares in each]


class Narrowing:
    """Which ways to stand are left to the pieces of one question. ways: before any is settled; none left is a proof."""

    def __init__(self, pieces: tuple[Piece, ...], room: Micro) -> None:
        self.room, self.spare = room, spare_volume(pieces, room)
        usable = usable_ways(pieces, room)
        self.shares = Shares(usable, room)
        self.ways = self.narrowed(usable) if all(usable) else list(usable)

    def narrowed(self, ways: Ways) -> list[tuple[Micro, ...]]:
        """What is left of these ways once neither waste beside a piece nor shares of the room rule out any more."""
        while True:
            kept = narrowed(ways, self.room, self.spare)
            if all(kept):
                kept = self.shares.narrowed(kept)
            if not all(kept) or sum(map(len, kept)) == sum(map(len, ways)):
                return kept
            ways = kept


@lru_cache(maxsize=16)
def narrowing(pieces: tuple[Piece, ...], room: Micro) -> Narrowing:
    """The narrowing of one question, which several searches ask one after another."""
    return Narrowing(pieces, room)


def _overfills(shares: Singles) -> bool:
    return bool(shares.max(initial=0.0) > 1 + ROUNDING)


def _kept_scales(sides: Rows, most: int, faces: Floats) -> Floats:
    """The plain fractions and the scales by which pieces take most, (scales, sides); faces: what a side counts."""
    rows = np.unique(np.stack(list(_scales(sides, most))), axis=0)
    most_taken = np.argsort(-(rows * faces).sum(axis=1), kind="stable")[: MOST_SCALES - 1]
    return np.vstack([sides / most, rows[most_taken]])


def _scales(sides: Rows, most: int) -> Iterator[Floats]:
    for step in _STEPS:
        yield _by_steps(sides, most, step)
    for unit in np.unique(sides[2 * sides <= most]).tolist():
        yield _by_share(sides, most, unit)
        yield _in_units(sides, most, unit)


def _by_steps(sides: Rows, most: int, step: int) -> Floats:
    """u(k) of Fekete and Schepers: (k + 1) x side rounded down to whole rooms, in k-ths, unless it is whole already."""
    steps = sides * (step + 1)
    return np.where(steps % most == 0, sides / most, (steps // most) / step)


def _by_share(sides: Rows, most: int, share: int) -> Floats:
    """U(e) of Fekete and Schepers: sides above the whole less e fill the room, sides below e count for nothing."""
    return np.where(sides > most - share, 1.0, np.where(sides < share, 0.0, sides / most))


def _in_units(sides: Rows, most: int, unit: int) -> Floats:
    """f2 of Carlier, Clautiaux and Moukrim: whole units, and for sides above half what they leave in whole units."""
    count = most // unit
    large = (count - (most - sides) // unit) / count
    return np.where(2 * sides > most, large, np.where(2 * sides == most, 0.5, (sides // unit) / count))
