"""Proofs that a set of pieces cannot lie in a room, quick enough to ask before any search.

Sides are whole micro-inches. Source of the conservative scales: S. P. Fekete and J. Schepers, "A general framework for
bounds for higher-dimensional orthogonal packing problems", Mathematical Methods of Operations Research 60 (2004):
sides may be replaced by dual feasible functions of them, axis by axis, and must still fit by volume.
"""

from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from models.packing.needed import Micro, Piece
from models.packing.waste import narrowed, spare_volume

Lines = Sequence[tuple[Piece, int]]
Scales = NDArray[np.float64]

ROUNDING = 1e-9
_STEPS = (1, 2, 3, 4)
_SHARES = (0.2, 0.25, 1 / 3, 0.4, 0.5)


def reason_against(lines: Lines, room: Micro) -> str | None:
    """Why the pieces cannot lie in the room, or None when no bound tells."""
    bounds = (_reason_of_sides, _reason_of_volume, _reason_of_scales, _reason_of_waste)
    return next((reason for bound in bounds if (reason := bound(lines, room))), None)


def all_pieces(lines: Lines) -> tuple[Piece, ...]:
    """Every single piece, in the order of the lines."""
    return tuple(piece for piece, quantity in lines for _ in range(quantity))


@lru_cache(maxsize=256)
def usable_ways(pieces: tuple[Piece, ...], room: Micro) -> tuple[tuple[Micro, ...], ...]:
    """The ways in which each piece may stand within the room without keeping more of it empty than is to spare."""
    fitting = tuple(fitting_ways(piece, room) for piece in pieces)
    return tuple(narrowed(fitting, room, spare_volume(pieces, room))) if all(fitting) else fitting


def fitting_ways(piece: Piece, room: Micro) -> tuple[Micro, ...]:
    """The ways in which the piece alone stands within the room."""
    length, width, height = room
    return tuple(way for way in piece.ways if way[0] <= length and way[1] <= width and way[2] <= height)


def _reason_of_sides(lines: Lines, room: Micro) -> str | None:
    if any(not fitting_ways(piece, room) for piece, _ in lines):
        return "a piece is larger than the carton in every way it may lie"
    return "two of the pieces do not lie side by side or one on the other" if _has_pair_too_large(lines, room) else None


def _has_pair_too_large(lines: Lines, room: Micro) -> bool:
    return any(not _lie_together(one, two, room) for one, two in _pairs(lines))


def _pairs(lines: Lines) -> Iterator[tuple[Piece, Piece]]:
    yield from ((piece, piece) for piece, quantity in lines if quantity > 1)
    yield from combinations([piece for piece, _ in lines], 2)


def _lie_together(one: Piece, two: Piece, room: Micro) -> bool:
    axes = range(3) if one.bears or two.bears else range(2)
    return any(_least(one, room, axis) + _least(two, room, axis) <= room[axis] for axis in axes)


def _least(piece: Piece, room: Micro, axis: int) -> int:
    return min(way[axis] for way in fitting_ways(piece, room))


def _reason_of_volume(lines: Lines, room: Micro) -> str | None:
    volume = sum(piece.volume * quantity for piece, quantity in lines)
    if volume > float(room[0]) * room[1] * room[2] * (1 + ROUNDING):
        return "the pieces and their clearance have more volume than the carton"
    floor = sum(_least_floor(piece, room) * quantity for piece, quantity in lines if not piece.bears)
    if floor > float(room[0]) * room[1] * (1 + ROUNDING):
        return "the pieces that nothing may lie on need more floor than the carton has"
    return None


def _least_floor(piece: Piece, room: Micro) -> float:
    return min(float(way[0]) * way[1] for way in fitting_ways(piece, room))


def _reason_of_scales(lines: Lines, room: Micro) -> str | None:
    needed = sum(quantity * least_shares(fitting_ways(piece, room), room) for piece, quantity in lines)
    return "the larger pieces lie beside too few of the others, however they are turned" if overfills(needed) else None


def _reason_of_waste(lines: Lines, room: Micro) -> str | None:
    if all(usable_ways(all_pieces(lines), room)):
        return None
    return "a piece would keep more of the carton empty beside it than there is to spare, however it is turned"


def overfills(shares: float | Scales) -> bool:
    """Whether pieces with these summed shares cannot lie in the room together."""
    return bool(np.max(shares) > 1 + 100 * ROUNDING)


@lru_cache(maxsize=4096)
def least_shares(ways: tuple[Micro, ...], room: Micro) -> Scales:
    """Least share of the room that a piece takes, for every triple of one scale per axis, as a flat array."""
    sides = np.array(ways, dtype=np.float64)
    scaled = [_scales(sides[:, axis], room[axis]) for axis in range(3)]
    least: Scales = np.einsum("iw,jw,kw->ijkw", *scaled).min(axis=3).ravel()
    least.flags.writeable = False
    return least


def _scales(sides: Scales, room_side: int) -> Scales:
    """Sides as fractions of the room under each scale; shape (scales, ways)."""
    fractions = sides / room_side
    steps = [_by_steps(fractions, step) for step in _STEPS]
    return np.stack([fractions, *steps, *(_by_share(fractions, share) for share in _SHARES)])


def _by_steps(fractions: Scales, step: int) -> Scales:
    """u(k) of Fekete and Schepers: rounds (k + 1) x side down to whole k-ths unless it is whole already."""
    steps = fractions * (step + 1)
    is_whole = np.abs(steps - np.round(steps)) < ROUNDING
    return np.where(is_whole, fractions, np.floor(steps) / step)


def _by_share(fractions: Scales, share: float) -> Scales:
    """U(e) of Fekete and Schepers: sides above 1 - e fill the room, sides below e count for nothing."""
    return np.where(fractions > 1 - share + 2 * ROUNDING, 1.0, np.where(fractions < share, 0.0, fractions))
