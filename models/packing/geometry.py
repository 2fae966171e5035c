"""Cartons: inside and outside, flaps, and what cutting one down does to them.

Inside length and width are those of the opening, length the longer; height runs from flap to flap. Style 0201 of the
FEFCO-ESBO code (the regular slotted carton): all flaps of one length, half the width, so that the outer pair meets.

Cutting down. The four corners are slit from the top edge to the new height h, the walls are scored there and folded
in. What was wall above the score becomes flap, so the new flaps are (H - h) longer than the old W / 2 and may be
trimmed, never below W / 2: there the outer pair still meets. Beyond W an outer flap would stand out over the far
wall, so it is trimmed to W at most. Flaps that overlap add their thickness to the outside height. Any height from the
carton's minimum up to H can be cut that way.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import pandas as pd

from models.errors import ContractError
from models.packing.needed import SLACK_IN, Sides

# Board thicknesses between inside and outside, along length, width and height (two layers of flap at either end).
BOARDS_0201 = (2, 2, 4)


@dataclass(frozen=True)
class Carton:
    """A stocked carton size. Sides in inches; `outside_in` along the same axes as the inside, where it is known.

    is_cuttable: unknown counts as no. minimum_height_in: lowest inside height it may be cut to; unknown counts as none.
    """

    carton_code: str
    inside_in: Sides
    board_in: float | None = None
    outside_in: Sides | None = None
    is_cuttable: bool = False
    minimum_height_in: float | None = None
    carton_style: str | None = "0201"

    def __post_init__(self) -> None:
        length, width, height = self.inside_in
        if not 0 < width <= length < math.inf or not 0 < height < math.inf:
            raise self._unusable("inside sides must be above zero, the length of the opening not below its width")
        if self.outside_in and any(outer < inner for outer, inner in zip(self.outside_in, self.inside_in, strict=True)):
            raise self._unusable("an outside side is below the inside side")

    def _unusable(self, what: str) -> ContractError:
        return ContractError("cartons", f"{self.carton_code}: {what}", "every choice of this carton", "correct cartons")

    @property
    def allowances_in(self) -> Sides:
        """Outside less inside along length, width and height; as measured, else by board thickness (style 0201).

        Raises ContractError where neither is known, or where the thickness is given for another style.
        """
        if self.outside_in is not None:
            length, width, height = (o - i for o, i in zip(self.outside_in, self.inside_in, strict=True))
            return (length, width, height)
        if self.board_in is None or self.carton_style not in (None, "0201"):
            raise self._unusable("outside sides are not given, and board thickness tells them for style 0201 only")
        length, width, height = (boards * self.board_in for boards in BOARDS_0201)
        return (length, width, height)

    @property
    def lowest_in(self) -> float:
        """Lowest inside height the carton may have."""
        return (self.minimum_height_in or 0.0) if self.is_cuttable else self.inside_in[2]


def stocked_carton(row: Mapping[str, Any]) -> Carton:
    """The carton that a row of `cartons` describes; unknown values stay unknown."""
    known = {name: None if pd.isna(value) else value for name, value in row.items()}
    sides = [
        [known.get(f"{face}_{side}_in") for side in ("length", "width", "height")] for face in ("inside", "outside")
    ]
    return Carton(
        str(row["carton_code"]),
        _sides(sides[0]) or (0.0, 0.0, 0.0),
        known.get("board_in"),
        _sides(sides[1]),
        bool(known.get("is_cuttable")),
        known.get("minimum_height_in"),
        known.get("carton_style"),
    )


def _sides(three: Sequence[float | None]) -> Sides | None:
    """Three sides, or None unless all of them are known."""
    known = [float(side) for side in three if side is not None]
    return (known[0], known[1], known[2]) if len(known) == 3 else None


def inside_at(carton: Carton, cut_height_in: float | None = None) -> Sides:
    """Inside sides at a cut height, or uncut. Raises ContractError for a height the carton may not be cut to."""
    length, width, height = carton.inside_in
    if cut_height_in is None or cut_height_in == height:
        return carton.inside_in
    if not max(carton.lowest_in, SLACK_IN) <= cut_height_in < height:
        what = f"{carton.carton_code} may not be cut to {cut_height_in:g} in"
        raise ContractError("cartons", what, "this cut height", f"keep between {carton.lowest_in:g} and {height:g} in")
    return (length, width, cut_height_in)


def outside_at(carton: Carton, cut_height_in: float | None = None, flap_in: float | None = None) -> Sides:
    """Outside sides in inches at a cut height, longest first: what a carrier measures where nothing bulges.

    flap_in: length of the top flaps where it is not half the width. Flaps that overlap lie one board higher.
    """
    length, width, height = (i + a for i, a in zip(inside_at(carton, cut_height_in), carton.allowances_in, strict=True))
    outside = sorted((length, width, height + _overlap_in(carton, flap_in)), reverse=True)
    return (outside[0], outside[1], outside[2])


def _overlap_in(carton: Carton, flap_in: float | None) -> float:
    """Height that overlapping flaps add: a board for the outer pair (across the width), one for the inner."""
    if flap_in is None:
        return 0.0
    length, width, _ = carton.inside_in
    boards = sum(2 * flap_in > reached + SLACK_IN for reached in (width, length))
    return boards * carton.allowances_in[2] / BOARDS_0201[2]


def needed_flap_in(carton: Carton) -> float:
    """Least length of the outer flaps: half the width, where they meet (0201)."""
    return carton.inside_in[1] / 2


def eased_flap_in(carton: Carton) -> float:
    """Twice the needed length: flaps that overlap fully (as in 0203), easier to fold and to tape."""
    return 2 * needed_flap_in(carton)


@dataclass(frozen=True)
class CutDown:
    """How to cut one carton down. All marks in inches, from the table up the outside of the closed bottom.

    score_at_in: where the walls are scored and folded, and how far down the corners are slit. trim_at_in: where the
    new flaps end; None where they may stay as long as they are. outside_in: outside sides then, longest first.
    """

    cut_height_in: float
    flap_in: float
    score_at_in: float
    trim_at_in: float | None
    outside_in: Sides


def cut_down(carton: Carton, cut_height_in: float, *, is_eased: bool = True) -> CutDown:
    """The marks for a cut height; flaps doubled for ease where the wall gives enough, never below half the width.

    Doubled flaps overlap and make the parcel a board higher, so do not ease where that crosses a carrier's inch.
    Raises ContractError for a height the carton may not be cut to.
    """
    _, _, height = inside_at(carton, cut_height_in)
    there_is = needed_flap_in(carton) + carton.inside_in[2] - height
    flap = min(there_is, eased_flap_in(carton) if is_eased else needed_flap_in(carton))
    score_at = height + carton.allowances_in[2] / 2
    trim_at = None if flap == there_is else score_at + flap
    return CutDown(height, flap, score_at, trim_at, outside_at(carton, height, flap))


def cut_heights(carton: Carton, step_in: float = 1.0) -> list[float]:
    """Inside heights the carton may have, lowest first: whole steps (1 for inches, 1 / 2.54 for cm), then uncut."""
    height = carton.inside_in[2]
    first = max(1, math.ceil((carton.lowest_in - SLACK_IN) / step_in))
    steps = range(first, math.ceil((height - SLACK_IN) / step_in))
    return [*(max(carton.lowest_in, number * step_in) for number in steps), height]
