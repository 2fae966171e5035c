"""How the goods of one parcel lie in the cartons that are looked at, as tables to draw and to pack by."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from models.columns.cartons import FITTED, LOOKED_AT
from models.contracts import typed
from models.packing.fit import Answer, Verdict, fit
from models.packing.needed import Contents, Sides
from models.packing.placement import in_packing_order, packing_list, place_in_words
from models.plain_rows import plain
from models.shop_units import Units
from models.tables.cartons import PLACEMENTS

if TYPE_CHECKING:
    import pandas as pd

ROUND = "the carton is not rectangular, and placing boxes proves nothing of it"
LAY_BEFORE = f"{ROUND}; it is offered because such goods lay in one before"
VERDICTS = {Verdict.FITS: FITTED[0], Verdict.DOES_NOT_FIT: FITTED[1], Verdict.UNDECIDED: FITTED[2]}
AXES = ("length", "width", "height")
FROM = ("left", "front", "bottom")


@dataclass(frozen=True)
class Box:
    """A carton to place goods in: inside sides in inches, the height after cutting. looked_at: why it is looked at."""

    looked_at: str
    carton_code: str
    inside_in: Sides
    is_cut: bool = False
    is_rectangular: bool = True


def placement_tables(packed: Contents, boxes: Sequence[Box], units: Units) -> dict[str, pd.DataFrame]:
    """The rows of `placement_rows` as frames, to draw."""
    import pandas as pd  # a drawing takes a frame, what is said on a terminal does not

    found = {}
    for name, rows in placement_rows(packed, boxes, units).items():
        frame = pd.DataFrame(rows.to_dict("records"), columns=list(rows.columns))
        found[name] = typed(frame, PLACEMENTS[name])
    return found


def placement_rows(packed: Contents, boxes: Sequence[Box], units: Units) -> dict[str, pd.DataFrame]:
    """Plain rows by name as in models/tables/cartons.py: cartons with a verdict each, pieces in their places.

    units: in which the texts on the pieces are written.

    Only a placement that stands the independent check is given. A carton without one has no pieces.
    """
    answers = [(box, _answer(packed, box)) for box in boxes]
    found = {
        "placement.cartons": [_carton(packed, box, answer) for box, answer in answers],
        "placement.pieces": [row for box, answer in answers for row in _pieces(box, answer, units)],
    }
    return {name: plain(rows, list(PLACEMENTS[name].columns)) for name, rows in found.items()}


def _answer(packed: Contents, box: Box) -> Answer | None:
    return fit(packed, box.inside_in) if box.is_rectangular else None


def _inside(box: Box) -> dict[str, object]:
    return {f"inside_{side}_in": length for side, length in zip(AXES, box.inside_in, strict=True)}


def _carton(packed: Contents, box: Box, answer: Answer | None) -> dict[str, object]:
    return {
        "looked_at": box.looked_at,
        "carton_code": box.carton_code,
        **_inside(box),
        "is_cut": box.is_cut,
        "is_end_opening": box.is_rectangular and box.inside_in[2] > max(box.inside_in[:2]),
        "clearance_in": packed.clearance_in,
        "piece_count": len(packed.pieces),
        "fitted": FITTED[-1] if answer is None else VERDICTS[answer.verdict],
        "fit_reason": _round(box) if answer is None else answer.reason,
    }


def _round(box: Box) -> str:
    return ROUND if box.looked_at == LOOKED_AT[0] else LAY_BEFORE


def _pieces(box: Box, answer: Answer | None, units: Units) -> Iterator[dict[str, object]]:
    placements = answer.placements if answer else ()
    lines = packing_list(placements, units)
    for number, placed in enumerate(in_packing_order(placements), start=1):
        yield {
            "looked_at": box.looked_at,
            "carton_code": box.carton_code,
            **_inside(box),
            "piece_number": number,
            "item_type": placed.item.item_type,
            **{f"along_{axis}_in": side for axis, side in zip(AXES, placed.sides_in, strict=True)},
            **{f"{name}_in": start for name, start in zip(FROM, placed.start_in, strict=True)},
            "lies_at": place_in_words(placed, placements, units),
            "packing_line": lines[number - 1],
        }
