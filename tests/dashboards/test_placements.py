"""The drawing of a placement: every block is a row of the table, every number a cell; the page stands alone."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from itertools import combinations, pairwise
from typing import Any

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dashboards import palette
from dashboards.packing_words import ANSWERS, packing_words
from dashboards.parts import Figure, Frame, Review
from dashboards.placements import CARTONS, CORNERS, PIECES, TRIANGLES, WALK, cautions, draw, render_placement
from models.carton_choice.placements import Box, placement_tables
from models.columns.placements import FITTED
from models.packing.geometry import CAUTION
from models.packing.needed import Contents, Sides, contents
from models.packing.placement import TOLERANCE_IN
from models.shop_units import Units
from tests.dashboards.colours import contrast
from tests.dashboards.markup import parsed
from tests.models.packing.goods import item

PACKED = contents([(item("mount head", 14, 11, 9), 1), (item("counterweight", 7, 7, 5), 2)], clearance_in=1.0)
INSIDE = (20.25, 20.25, 16.0)
SENT = Box("as sent", "M-20", INSIDE)
BETTER = Box("cheaper from stock", "M-20", (20.25, 20.25, 11.0), is_cut=True)
SMALL = Box("as sent", "S-8", (8.0, 8.0, 8.0))


def figure(boxes: Sequence[Box] = (SENT,)) -> tuple[pd.DataFrame, Figure]:
    rows = placement_tables(PACKED, boxes, Units("USD"))[PIECES]
    return rows, draw(rows, Frame(PIECES, Units("USD"), dt.date(2026, 10, 1)))


def traces(drawn: Figure, kind: str, mode: str | None = None) -> list[dict[str, Any]]:
    return [trace for trace in drawn["data"] if trace["type"] == kind and trace.get("mode") == mode]


def page(boxes: Sequence[Box]) -> str:
    tables = placement_tables(PACKED, boxes, Units("USD"))
    made_at = dt.datetime(2026, 11, 20, 9, 0)
    review = Review("Fernmoor Optics", Units("USD"), made_at.date(), made_at, tables, cautions(tables[CARTONS]))
    return render_placement(review, "NL<b>1")


def test_every_block_spans_its_row() -> None:
    rows, drawn = figure()
    blocks = traces(drawn, "mesh3d")
    assert len(blocks) == len(rows) == 3
    for (number, row), block in zip(rows.iterrows(), blocks, strict=True):
        assert block["meta"] == {"table": PIECES, "column": "packing_line", "rows": [number]}
        for axis, start, side in zip("xyz", ("left", "front", "bottom"), ("length", "width", "height"), strict=True):
            assert min(block[axis]) == row[f"{start}_in"]
            assert max(block[axis]) == pytest.approx(row[f"{start}_in"] + row[f"along_{side}_in"])


def test_the_triangles_close_the_box() -> None:
    """Each edge of a closed surface belongs to two triangles, and together they enclose the box's volume."""
    corners, faces = np.array(CORNERS), list(zip(*TRIANGLES, strict=True))
    edges = [frozenset(pair) for face in faces for pair in combinations(face, 2)]
    assert len(faces) == 12 and all(edges.count(edge) == 2 for edge in edges)
    middle = corners.mean(axis=0)
    assert sum(abs(np.linalg.det(corners[list(face)] - middle)) / 6 for face in faces) == pytest.approx(1.0)


def test_the_walk_goes_along_every_edge() -> None:
    steps = [(one, two) for one, two in pairwise(WALK) if one is not None and two is not None]
    assert all(sum(a != b for a, b in zip(CORNERS[one], CORNERS[two], strict=True)) == 1 for one, two in steps)
    assert len({frozenset(step) for step in steps}) == 12


def test_the_carton_is_drawn_whole_and_no_list_of_it_is_as_long_as_the_rows() -> None:
    rows, drawn = figure()
    outline, *edges = traces(drawn, "scatter3d", "lines")
    assert len(edges) == len(rows)
    assert [max(value for value in outline[axis] if value is not None) for axis in "xyz"] == list(INSIDE)
    many = pd.concat([rows] * 7, ignore_index=True).head(len(WALK))
    again = traces(draw(many, Frame(PIECES, Units("USD"), dt.date(2026, 10, 1))), "scatter3d", "lines")[0]
    assert len(again["x"]) > len(many)


def test_item_types_differ_in_tone_and_pieces_in_number() -> None:
    rows, drawn = figure()
    tones = {trace["name"]: trace["color"] for trace in traces(drawn, "mesh3d")}
    assert len(set(tones.values())) == 2 and set(tones.values()) <= set(palette.TONES)
    (numbers,) = traces(drawn, "scatter3d", "text")
    assert list(numbers["text"]) == ["1", "2", "3"] == [str(number) for number in rows["piece_number"]]
    assert numbers["textfont"]["color"] == "#ffffff"
    assert all(contrast(tone, "#ffffff") >= 3 for tone in palette.TONES)


def test_the_page_stands_alone_and_shows_both_cartons() -> None:
    text = page([SENT, BETTER])
    assert "NL&lt;b&gt;1" in text and "<b>1" not in text
    assert '<link rel="stylesheet"' not in text and 'src="http' not in text
    assert parsed(text) is not None
    assert text.count('class="drawing"') == 2
    assert CAUTION.split(",")[0] in text


def test_a_whole_carton_needs_no_knife_and_lifting_is_minded_always() -> None:
    whole, cut = page([SENT]), page([BETTER])
    assert "guarded knife" not in whole and "guarded knife" in cut
    assert "bent knees" in whole and "bent knees" in cut


def test_without_a_placement_the_page_says_so() -> None:
    text = page([SMALL])
    assert "No placement in the carton used: the table above says why." in text and 'class="drawing"' not in text


def test_the_terminal_has_the_list() -> None:
    reported = packing_words(placement_tables(PACKED, [SENT, BETTER], Units("USD")), Units("USD")).splitlines()
    assert reported[0] == (
        "Packing in M-20, inside 20.25 x 20.25 x 16 in, as sent: the goods fit, 1 in clear on every side."
    )
    assert reported[1].startswith("  1. ") and reported[4].startswith(
        "Packing in M-20, inside 20.25 x 20.25 x 11 in, cut down"
    )
    assert reported[8:] == [f"  {CAUTION}."]
    small = packing_words(placement_tables(PACKED, [SMALL], Units("USD")), Units("USD"))
    assert "as sent: the goods do not fit with 1 in clear on every side: a piece is larger" in small
    assert "\n" not in small
    assert set(ANSWERS) == set(FITTED)


@pytest.mark.parametrize(
    ("inside", "words"),
    [
        ((9.0, 9.0, 47.25), "inside 9 x 9 x 47.25 in, opening at its end, as sent:"),
        ((47.25, 9.0, 9.0), "inside 47.25 x 9 x 9 in, as sent:"),
        ((9.0, 9.0, 9.0), "inside 9 x 9 x 9 in, as sent:"),
    ],
)
def test_a_carton_whose_flaps_are_on_its_end_is_said_to_open_there(inside: Sides, words: str) -> None:
    # FEFCO code, designation of dimensions: length and breadth at the opening, then the height, all inside.
    assert words in packing_words(placement_tables(PACKED, [Box("as sent", "X", inside)], Units("USD")), Units("USD"))


@st.composite
def packings(draws: st.DrawFn) -> tuple[Contents, Box, bool]:
    """Up to nine pieces, and a carton in which all lie in one row, or a shorter one that may be too small."""
    names = draws(st.lists(st.sampled_from("abc"), min_size=1, max_size=3, unique=True))
    side = st.integers(4, 80).map(lambda quarters: quarters / 4)
    lines = [(item(name, draws(side), draws(side), draws(side)), draws(st.integers(1, 3))) for name in names]
    packed = contents(lines, draws(st.sampled_from([0.0, 0.5, 1.5])))
    longest = [max(piece.sides_in) + packed.clearance_in for piece in packed.pieces]
    share = draws(st.sampled_from([1.0, 0.8, 0.6, 0.4]))
    across = max(longest) + packed.clearance_in
    return packed, Box("as sent", "X", (sum(longest) * share + packed.clearance_in, across, across)), share == 1.0


def spans(trace: dict[str, Any]) -> list[tuple[float, float]]:
    """A drawn trace's least and greatest coordinate on each axis."""
    return [(min(lengths), max(lengths)) for lengths in ([v for v in trace[axis] if v is not None] for axis in "xyz")]


@settings(derandomize=True, deadline=None, max_examples=25)
@given(packings())
def test_what_is_drawn_lies_inside_apart_and_is_all_the_goods(packing: tuple[Contents, Box, bool]) -> None:
    """Read off the figure alone: the blocks against the outline, each against each, their sides against the goods'."""
    packed, box, is_sure = packing
    rows = placement_tables(packed, [box], Units("USD"))[PIECES]
    assert len(rows) or not is_sure
    if rows.empty:
        return
    drawn = draw(rows, Frame(PIECES, Units("USD"), dt.date(2026, 10, 1)))
    outline, *_ = traces(drawn, "scatter3d", "lines")
    blocks, clear = [spans(block) for block in traces(drawn, "mesh3d")], packed.clearance_in - 2 * TOLERANCE_IN
    for block in blocks:
        assert all(a + clear <= c and d <= b - clear for (a, b), (c, d) in zip(spans(outline), block, strict=True))
    for one, two in combinations(blocks, 2):
        assert max(max(c - b, a - d) for (a, b), (c, d) in zip(one, two, strict=True)) >= clear
    drawn_sides = sorted(sorted(round(end - start, 3) for start, end in block) for block in blocks)
    assert drawn_sides == sorted(sorted(round(side, 3) for side in piece.sides_in) for piece in packed.pieces)
