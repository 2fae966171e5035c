"""Every carton of a catalogue at every cut height, and the fit matrix of many needed sizes against them.

Arrays throughout. A need is the least inside one parcel asks for; an option is one carton at one inside height.
Parcels of one piece (or packed as one block) are needs; for parcels of several pieces take `tables.fit_table`, whose
rows read like rows of the fit matrix.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from models.packing.geometry import Carton, cut_heights, inside_at, outside_at
from models.packing.needed import SLACK_IN, PackedItem, needed_sizes

Lengths = NDArray[np.float64]
Flags = NDArray[np.bool_]
Whole = NDArray[np.int64]
# Cents per option, per need and option, or a function from need numbers to the latter's rows.


@dataclass(frozen=True)
class Needs:
    """Least inside sides (needs, 2, 3) in inches, and whether the goods may turn any way.

    Where they may, the order of the sides does not matter. Where not, the third side is vertical and the first two
    may change places; there are two ways to stand, which are the same for most.
    """

    sides_in: Lengths
    may_turn: Flags

    def __len__(self) -> int:
        return len(self.sides_in)


def needs(packed: Sequence[tuple[PackedItem, float]]) -> Needs:
    """Needs of single pieces, each with its packing method's clearance in inches."""
    sizes = [needed_sizes(item, clearance_in) for item, clearance_in in packed]
    sides = [(each[0], each[-1]) for each in sizes]
    may_turn = np.array([item.turns == "any" for item, _ in packed], dtype=np.bool_)
    return Needs(np.array(sides, dtype=np.float64).reshape(-1, 2, 3), may_turn)


@dataclass(frozen=True)
class Options:
    """Every carton at every inside height it may have. Row k: cartons[carton[k]] cut to cut_height_in[k].

    inside_in, outside_in: (options, 3) in inches, outside longest first. is_cut: below the carton's full height.
    """

    cartons: tuple[Carton, ...]
    carton: Whole
    cut_height_in: Lengths
    inside_in: Lengths
    outside_in: Lengths
    is_cut: Flags

    def __len__(self) -> int:
        return len(self.carton)


def options(cartons: Sequence[Carton], step_in: float = 1.0) -> Options:
    """Options of a catalogue, carton by carton, lowest cut first; cut heights on whole steps.

    Outside sides are those with flaps trimmed to meet; flaps left to overlap would lie a board higher.
    """
    rows = [(number, height) for number, carton in enumerate(cartons) for height in cut_heights(carton, step_in)]
    inside = [inside_at(cartons[number], height) for number, height in rows]
    outside = [outside_at(cartons[number], height) for number, height in rows]
    return Options(
        tuple(cartons),
        np.array([number for number, _ in rows], dtype=np.int64),
        np.array([height for _, height in rows], dtype=np.float64),
        np.array(inside, dtype=np.float64).reshape(-1, 3),
        np.array(outside, dtype=np.float64).reshape(-1, 3),
        np.array([height < cartons[number].inside_in[2] for number, height in rows], dtype=np.bool_),
    )


def _comparable(sides_in: Lengths) -> tuple[Lengths, Lengths]:
    """Sides for goods that turn any way (all in order), and for goods that do not (the first two in order)."""
    turned = np.sort(sides_in, axis=1)
    upright = np.column_stack([np.sort(sides_in[:, :2], axis=1), sides_in[:, 2]])
    return turned, upright


def fit_matrix(wanted: Needs, offered: Options) -> Flags:
    """Whether each need fits each option; shape (needs, options). One piece is held; compares sides as it may turn."""
    first, second = wanted.sides_in[:, 0], wanted.sides_in[:, 1]
    matrix = _fit_matrix(first, wanted.may_turn, offered)
    differs = np.flatnonzero((first != second).any(axis=1))
    matrix[differs] |= _fit_matrix(second[differs], wanted.may_turn[differs], offered)
    return matrix


def _fit_matrix(sides_in: Lengths, may_turn: Flags, offered: Options) -> Flags:
    need_turned, need_upright = _comparable(sides_in)
    room_turned, room_upright = _comparable(offered.inside_in + SLACK_IN)
    matrix = np.ones((len(sides_in), len(offered)), dtype=np.bool_)
    for axis in range(3):
        turned = need_turned[:, axis, None] <= room_turned[None, :, axis]
        upright = need_upright[:, axis, None] <= room_upright[None, :, axis]
        matrix &= np.where(may_turn[:, None], turned, upright)
    return matrix
