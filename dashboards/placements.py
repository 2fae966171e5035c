"""How the goods of one parcel lie in a carton: layers from above, the view from the front, a table to pack by.

Drawn from placement.*.
"""

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pandas as pd

from dashboards import formats
from dashboards.cautions import CUTTING, LIFTING
from dashboards.panels import Frame, Panel, Section, all_by, every_row
from dashboards.pictures import Block, Kind, Picture
from dashboards.review import render_sections
from dashboards.review_tables import Review
from models.columns.cartons import LOOKED_AT
from models.shop_units import Units

CARTONS, PIECES = "placement.cartons", "placement.pieces"
# Directions that a view shows to the right and upwards: the side of a piece along each, and where it begins.
LENGTH, WIDTH, HEIGHT = ("length", "left_in"), ("width", "front_in"), ("height", "bottom_in")
# Pieces that begin within this of each other lie in one layer.
LAYER_IN = 0.05
Direction = tuple[str, str]


def render_placement(review: Review, parcel_id: str) -> str:
    """The page of one parcel as HTML text. review: its tables are those of models/tables/cartons.py."""
    return render_sections(review, [SECTION], "placement.html", parcel_id=parcel_id)


def cautions(cartons: pd.DataFrame) -> list[str]:
    """What to mind: knives where a carton is cut, lifting always."""
    return [*([CUTTING] if cartons["is_cut"].any() else []), LIFTING]


def draw(rows: pd.DataFrame, frame: Frame) -> Picture:
    """Each layer seen from above, then all from the front; pieces by number, an item type in one tone."""
    blocks = [*_layers(rows, frame), *_front(rows, frame)]
    return Picture(Kind.LAYERS, frame.table, blocks=tuple(blocks))


def _layers(rows: pd.DataFrame, frame: Frame) -> Iterator[Block]:
    layers = _layered(rows)
    for at, layer in enumerate(layers):
        named = f"Layer {at + 1} of {len(layers)}, from above" if len(layers) > 1 else "From above"
        yield from _view(layer, rows, frame, f"{named}; the front wall is below", (LENGTH, WIDTH))


def _layered(rows: pd.DataFrame) -> list[pd.DataFrame]:
    """The pieces that begin at the same height, from the bottom up."""
    heights = rows["bottom_in"].astype(float)
    ordered = heights.sort_values()
    number = ordered.diff().gt(LAYER_IN).cumsum().reindex(rows.index)
    return [part for _, part in rows.groupby(number, sort=True)]


def _front(rows: pd.DataFrame, frame: Frame) -> Iterator[Block]:
    """What stands farther back is drawn first; a number that a nearer piece hides is left out."""
    ordered = rows.sort_values("front_in", ascending=False, kind="stable")
    carton, *pieces = _view(ordered, rows, frame, "From the front", (LENGTH, HEIGHT))
    yield carton
    for at, block in enumerate(pieces):
        is_hidden = any(_covers(nearer, block) for nearer in pieces[at + 1 :])
        yield replace(block, number="") if is_hidden else block


def _covers(nearer: Block, block: Block) -> bool:
    across, up = block.left + block.width / 2, block.bottom + block.height / 2
    is_across = nearer.left < across < nearer.left + nearer.width
    return is_across and nearer.bottom < up < nearer.bottom + nearer.height


def _view(
    shown: pd.DataFrame, rows: pd.DataFrame, frame: Frame, view: str, directions: tuple[Direction, Direction]
) -> Iterator[Block]:
    """The inside of the carton, then the pieces shown in it."""
    (right, _), (up, _) = directions
    units, first = frame.units, rows.iloc[0]
    names = [f"inside_{right}_in", f"inside_{up}_in"]
    wide, high = (units.value(name, first[name]) for name in names)
    yield Block(view, 0.0, 0.0, wide, high, "", units.name(names[0]), int(rows.index[0]), is_dashed=True)
    tones = list(dict.fromkeys(rows["item_type"]))
    for number, row in zip(shown.index, shown.to_dict("records"), strict=True):
        yield _piece(row, int(number), units, view, directions, tones.index(row["item_type"]))


def _piece(
    row: dict[Any, Any], number: int, units: Units, view: str, directions: tuple[Direction, Direction], series: int
) -> Block:
    (right, left), (up, bottom) = directions
    names = (left, bottom, f"along_{right}_in", f"along_{up}_in")
    start, floor, wide, high = (units.value(name, row[name]) for name in names)
    return Block(
        view,
        start,
        floor,
        wide,
        high,
        label=formats.plain(row["packing_line"], 200),
        column="packing_line",
        row=number,
        number=formats.count(row["piece_number"]),
        series=series,
    )


def _panel(looked_at: str, title: str, when_empty: tuple[str, ...]) -> Panel:
    return Panel(
        f"pieces-{looked_at.replace(' ', '-')}",
        title,
        PIECES,
        "piece_number item_type along_length_in along_width_in along_height_in left_in front_in bottom_in lies_at",
        all_by("piece_number", where=lambda rows: rows["looked_at"] == looked_at),
        draw,
        when_empty=when_empty,
        note="packing.drawing",
    )


SECTION = Section(
    order=0,
    name="placement",
    title="Cartons looked at",
    lead=("packing.one_piece", "packing.pieces", "packing.none_placed"),
    parts=(
        Panel(
            "cartons-looked-at",
            "Do the goods fit?",
            CARTONS,
            "looked_at carton_code inside_length_in inside_width_in inside_height_in is_cut fitted fit_reason",
            every_row,
            when_empty="packing.no_carton",
        ),
        _panel(LOOKED_AT[0], "In the carton used", ("packing.none_as_sent",)),
        _panel(LOOKED_AT[1], "In the cheaper carton", ("packing.none_cheaper", "packing.no_cheaper")),
    ),
)
