"""How the goods of one parcel lie in a carton: a drawing to turn, a table to pack by. Drawn from placement.*."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import Any

import pandas as pd
import plotly.graph_objects as go

from dashboards import figures, palette
from dashboards.bench_sheets import LIFTING
from dashboards.parts import Figure, Frame, Panel, Review, Section, Sentence, every_row, say
from dashboards.review import render
from dashboards.scenes import AXES, scene_layout
from models.columns.placements import LOOKED_AT
from models.packing.geometry import CAUTION
from models.shop_units import LENGTH, Units

CARTONS, PIECES = "placement.cartons", "placement.pieces"
SOURCES = ("left_in", "front_in", "bottom_in")
# Corners of a box in units of its sides, its twelve triangles by corner, and one walk over its twelve edges.
CORNERS = ((0, 0, 0), (1, 0, 0), (1, 1, 0), (0, 1, 0), (0, 0, 1), (1, 0, 1), (1, 1, 1), (0, 1, 1))
TRIANGLES = (
    (0, 0, 4, 4, 0, 0, 1, 1, 2, 2, 3, 3),
    (1, 2, 5, 6, 1, 5, 2, 6, 3, 7, 0, 4),
    (2, 3, 6, 7, 5, 4, 6, 5, 7, 6, 4, 7),
)
WALK = (0, 1, 2, 3, 0, 4, 5, 6, 7, 4, None, 1, 5, None, 2, 6, None, 3, 7)
# Where a block's number stands, in shares of its sides: on the upper front edge, where few blocks hide it, and a little
# before it, where no face of its own cuts into it.
NUMBER_AT = (0.5, -0.02, 1.0)
# A number is written above its place: lowered by this share of the longest side it is on a narrow block's top as well.
LOWERED = 0.02
Box = tuple[Sequence[float], Sequence[float]]


def render_placement(review: Review, parcel_id: str) -> str:
    """The page of one parcel as HTML text. review: its tables are those of models/tables/placements.py."""
    return render(review, [SECTION], "placement.html", parcel_id=parcel_id)


def cautions(cartons: pd.DataFrame) -> list[str]:
    """What to mind: knives where a carton is cut, lifting always."""
    return [*([CAUTION + "."] if cartons["is_cut"].any() else []), LIFTING]


def lead(review: Review) -> Sentence:
    """How many pieces, and the clearance kept."""
    rows = review.table(CARTONS)
    if rows["piece_count"].iloc[0] == 1:
        return say("{piece_count} piece, {clearance_in} clear of every wall.", CARTONS, rows)
    return say("{piece_count} pieces, each {clearance_in} clear of every wall and every other piece.", CARTONS, rows)


def pieces_in(review: Review, rows: pd.DataFrame, looked_at: str) -> pd.DataFrame:
    """Chooser: the pieces in one of the cartons, in the order of packing."""
    return rows[rows["looked_at"] == looked_at].sort_values("piece_number")


def draw(rows: pd.DataFrame, frame: Frame) -> Figure:
    """The carton as lines, each piece as a numbered block with its edges; an item type has one tone."""
    tones = {name: figures.tone(at) for at, name in enumerate(rows["item_type"].drop_duplicates())}
    traces = [_outline(rows, frame)]
    for at, (_, row) in enumerate(rows.iterrows()):
        one = rows.iloc[[at]]
        traces += [_block(one, row, tones[row["item_type"]], frame), _edges(one, row, frame)]
    return figures.finished(
        [*traces, _numbers(rows, frame)], scene_layout(_inside(rows, frame.units), frame.units.unit(LENGTH).sign)
    )


def _inside(rows: pd.DataFrame, units: Units) -> list[float]:
    return [units.value(name, rows.iloc[0][name]) for name in (f"inside_{axis}_in" for axis in AXES)]


def _box(row: Any, units: Units) -> Box:
    sides = [f"along_{axis}_in" for axis in AXES]
    return [units.value(name, row[name]) for name in SOURCES], [units.value(name, row[name]) for name in sides]


def _corners(box: Box, order: Sequence[int | None]) -> dict[str, list[float | None]]:
    start, sides = box
    return {
        name: [None if at is None else start[axis] + CORNERS[at][axis] * sides[axis] for at in order]
        for axis, name in enumerate("xyz")
    }


def _outline(rows: pd.DataFrame, frame: Frame) -> go.Scatter3d:
    # The page's filter cuts every list as long as the rows: this one must be longer, for it is kept or left whole.
    walk = (*WALK, *[None] * max(0, len(rows) - len(WALK) + 1))
    return go.Scatter3d(
        **_corners(([0.0, 0.0, 0.0], _inside(rows, frame.units)), walk),
        mode="lines",
        name="inside of the carton",
        line={"color": palette.GREY, "width": 5},
        hoverinfo="skip",
        meta=figures.origin(rows, "inside_length_in", frame),
    )


def _block(one: pd.DataFrame, row: Any, tone: str, frame: Frame) -> go.Mesh3d:
    first, second, third = TRIANGLES
    return go.Mesh3d(
        **_corners(_box(row, frame.units), range(len(CORNERS))),
        i=first,
        j=second,
        k=third,
        color=tone,
        opacity=0.75,
        flatshading=True,
        lighting={"ambient": 0.75, "diffuse": 0.5, "specular": 0.0},
        name=figures.safe(row["item_type"]),
        hovertemplate=f"{figures.safe(row['packing_line'], 200)}<extra></extra>",
        meta=figures.origin(one, "packing_line", frame),
    )


def _edges(one: pd.DataFrame, row: Any, frame: Frame) -> go.Scatter3d:
    return go.Scatter3d(
        **_corners(_box(row, frame.units), WALK),
        mode="lines",
        line={"color": palette.LIGHT["ink"], "width": 3},
        hoverinfo="skip",
        meta=figures.origin(one, "along_length_in", frame),
    )


def _numbers(rows: pd.DataFrame, frame: Frame) -> go.Scatter3d:
    """The pieces' numbers, on their upper front edges."""
    boxes = [_box(row, frame.units) for _, row in rows.iterrows()]
    places = {name: [start[at] + sides[at] * NUMBER_AT[at] for start, sides in boxes] for at, name in enumerate("xyz")}
    places["z"] = [top - LOWERED * max(_inside(rows, frame.units)) for top in places["z"]]
    return go.Scatter3d(
        **places,
        mode="text",
        text=figures.written(rows, "piece_number", frame.units),
        textposition="top center",
        textfont={"size": 22, "color": "#ffffff"},
        hoverinfo="skip",
        meta=figures.origin(rows, "piece_number", frame),
    )


def _panel(looked_at: str, title: str, when_empty: str) -> Panel:
    return Panel(
        name=f"pieces-{looked_at.replace(' ', '-')}",
        title=title,
        table=PIECES,
        columns=(
            *("piece_number", "item_type", "along_length_in", "along_width_in", "along_height_in"),
            *("left_in", "front_in", "bottom_in", "lies_at"),
        ),
        choose=partial(pieces_in, looked_at=looked_at),
        draw=draw,
        when_empty=when_empty,
        note="Drag to turn it. The numbers are those of the table, in the order of packing. There may be other ways.",
    )


SECTION = Section(
    order=0,
    name="placement",
    title="Cartons looked at",
    lead=lead,
    parts=(
        Panel(
            name="cartons-looked-at",
            title="Do the goods fit?",
            table=CARTONS,
            columns=(
                *("looked_at", "carton_code", "inside_length_in", "inside_width_in", "inside_height_in", "is_cut"),
                *("fitted", "fit_reason"),
            ),
            choose=every_row,
            when_empty="No carton is known.",
        ),
        _panel(LOOKED_AT[0], "In the carton used", "No placement in the carton used: the table above says why."),
        _panel(
            LOOKED_AT[1],
            "In the cheaper carton",
            "No placement in a cheaper carton. The table above says why, or names none: then no other carton from "
            "stock was cheaper for such parcels.",
        ),
    ),
)
