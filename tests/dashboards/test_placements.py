"""The drawing of a placement: every block is a row of the table, every number a cell; the page stands alone."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from itertools import combinations

import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dashboards.cautions import CUTTING
from dashboards.packing_words import packing_words
from dashboards.panels import Frame
from dashboards.pictures import Block, Picture
from dashboards.pictures.svg import svg
from dashboards.placements import CARTONS, PIECES, cautions, draw, render_placement
from dashboards.review_tables import Review
from models.carton_choice.placements import Box, placement_tables
from models.packing.needed import Contents, Sides, contents
from models.packing.placement import TOLERANCE_IN
from models.shop_units import Units
from tests.dashboards.markup import parsed
from tests.dashboards.pictures.drawn import marks, rects
from tests.dashboards.pictures.drawn import parsed as parsed_drawing
from tests.models.packing.goods import item

PACKED = contents([(item("mount head", 14, 11, 9), 1), (item("counterweight", 7, 7, 5), 2)], clearance_in=1.0)
INSIDE = (20.25, 20.25, 16.0)
SENT = Box("as sent", "M-20", INSIDE)
BETTER = Box("cheaper from stock", "M-20", (20.25, 20.25, 11.0), is_cut=True)
SMALL = Box("as sent", "S-8", (8.0, 8.0, 8.0))


def figure(boxes: Sequence[Box] = (SENT,)) -> tuple[pd.DataFrame, Picture]:
    rows = placement_tables(PACKED, boxes, Units("USD"))[PIECES]
    return rows, draw(rows, Frame(PIECES, Units("USD"), dt.date(2026, 10, 1)))


def from_above(drawn: Picture) -> tuple[list[Block], list[Block]]:
    """The insides of the carton and the pieces, of all layers."""
    blocks = [block for block in drawn.blocks if "above" in block.view]
    return [block for block in blocks if block.is_dashed], [block for block in blocks if not block.is_dashed]


def from_front(drawn: Picture) -> tuple[Block, list[Block]]:
    """The inside of the carton and the pieces, from the front."""
    inside, *pieces = (block for block in drawn.blocks if block.view == "From the front")
    return inside, pieces


def page(boxes: Sequence[Box]) -> str:
    tables = placement_tables(PACKED, boxes, Units("USD"))
    made_at = dt.datetime(2026, 11, 20, 9, 0)
    review = Review(
        shop_name="Fernmoor Optics",
        units=Units("USD"),
        month=made_at.date(),
        made_at=made_at,
        tables=tables,
        notes=cautions(tables[CARTONS]),
    )
    return render_placement(review, "NL<b>1")


def test_every_block_spans_its_row_from_above_and_from_the_front() -> None:
    rows, drawn = figure()
    (_, above), (_, front) = from_above(drawn), from_front(drawn)
    assert len(above) == len(front) == len(rows) == 3
    for blocks, up, bottom in ((above, "width", "front"), (front, "height", "bottom")):
        for block in blocks:
            row = rows.loc[block.row]
            assert (block.left, block.width) == (row["left_in"], row["along_length_in"])
            assert (block.bottom, block.height) == (row[f"{bottom}_in"], row[f"along_{up}_in"])
            assert block.label == row["packing_line"]


def test_the_inside_of_the_carton_is_drawn_round_each_layer() -> None:
    rows, drawn = figure()
    insides, pieces = from_above(drawn)
    layers = len(set(rows["bottom_in"].round(1)))
    assert len(insides) == layers == len({block.view for block in pieces})
    assert {(block.width, block.height) for block in insides} == {INSIDE[:2]}
    inside, _ = from_front(drawn)
    assert (inside.width, inside.height) == (INSIDE[0], INSIDE[2])


def test_what_is_drawn_is_to_one_scale() -> None:
    """Read off the drawing: every rectangle's sides over the row's are one number."""
    rows, drawn = figure()
    found = marks(parsed_drawing(svg(drawn, 720)))
    assert len(found) == len(drawn.blocks) > len(rows)
    scales = set()
    for mark, block in zip(found, drawn.blocks, strict=True):
        (box,) = rects(mark)
        scales |= {round((box.right - box.left) / block.width, 1), round((box.bottom - box.top) / block.height, 1)}
    assert max(scales) - min(scales) <= 0.1001


def test_item_types_differ_in_tone_and_pieces_in_number() -> None:
    rows, drawn = figure()
    _, above = from_above(drawn)
    tones = {(rows.loc[block.row, "item_type"], block.series) for block in above}
    assert len(tones) == 2 == len({series for _, series in tones})
    assert sorted(block.number for block in above) == ["1", "2", "3"]


def test_a_number_behind_a_nearer_piece_is_left_out() -> None:
    _, drawn = figure()
    _, front = from_front(drawn)
    for at, block in enumerate(front):
        middle = block.left + block.width / 2, block.bottom + block.height / 2
        covered = any(
            near.left < middle[0] < near.left + near.width and near.bottom < middle[1] < near.bottom + near.height
            for near in front[at + 1 :]
        )
        assert (block.number == "") is covered


def test_the_page_stands_alone_and_shows_both_cartons() -> None:
    text = page([SENT, BETTER])
    assert "NL&lt;b&gt;1" in text and "<b>1" not in text
    assert '<link rel="stylesheet"' not in text and 'src="http' not in text
    assert parsed(text) is not None
    assert text.count('class="drawing"') == 2
    assert CUTTING.split(",")[0] in text


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
        "Packing in M-20, inside 20.25 x 20.25 x 16 in, as sent. The goods fit, 1 in clear on every side."
    )
    assert reported[1].startswith("  1. ")
    assert reported[4].startswith("Packing in M-20, inside 20.25 x 20.25 x 11 in, cheaper from stock.")
    assert reported[4].endswith("The carton is cut down.")
    assert reported[8:] == [f"  {CUTTING}"]
    small = packing_words(placement_tables(PACKED, [SMALL], Units("USD")), Units("USD"))
    assert "as sent. The goods do not fit with 1 in clear on every side: a piece is larger" in small
    assert "\n" not in small


@pytest.mark.parametrize(
    ("inside", "sides", "is_told"),
    [
        ((9.0, 9.0, 47.25), "9 x 9 x 47.25 in", True),
        ((47.25, 9.0, 9.0), "47.25 x 9 x 9 in", False),
        ((9.0, 9.0, 9.0), "9 x 9 x 9 in", False),
    ],
)
def test_a_carton_whose_flaps_are_on_its_end_is_said_to_open_there(inside: Sides, sides: str, is_told: bool) -> None:
    # FEFCO code, designation of dimensions: length and breadth at the opening, then the height, all inside.
    words = packing_words(placement_tables(PACKED, [Box("as sent", "X", inside)], Units("USD")), Units("USD"))
    assert f"inside {sides}, as sent." in words
    assert ("The carton opens at its end." in words) == is_told


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


def spans(above: Sequence[Block], front: Sequence[Block]) -> list[list[tuple[float, float]]]:
    """Each drawn piece's least and greatest coordinate along length, width and height."""
    by_row = {block.row: block for block in front}
    return [
        [
            (block.left, block.left + block.width),
            (block.bottom, block.bottom + block.height),
            (by_row[block.row].bottom, by_row[block.row].bottom + by_row[block.row].height),
        ]
        for block in above
    ]


@settings(derandomize=True, deadline=None, max_examples=25)
@given(packings())
def test_what_is_drawn_lies_inside_apart_and_is_all_the_goods(packing: tuple[Contents, Box, bool]) -> None:
    """Read off the figure alone: the blocks against the inside, each against each, their sides against the goods'."""
    packed, box, is_sure = packing
    rows = placement_tables(packed, [box], Units("USD"))[PIECES]
    assert len(rows) or not is_sure
    if rows.empty:
        return
    drawn = draw(rows, Frame(PIECES, Units("USD"), dt.date(2026, 10, 1)))
    (insides, above), (inside, front) = from_above(drawn), from_front(drawn)
    carton = [(0.0, insides[0].width), (0.0, insides[0].height), (0.0, inside.height)]
    blocks, clear = spans(above, front), packed.clearance_in - 2 * TOLERANCE_IN
    for block in blocks:
        assert all(a + clear <= c and d <= b - clear for (a, b), (c, d) in zip(carton, block, strict=True))
    for one, two in combinations(blocks, 2):
        assert max(max(c - b, a - d) for (a, b), (c, d) in zip(one, two, strict=True)) >= clear
    drawn_sides = sorted(sorted(round(end - start, 3) for start, end in block) for block in blocks)
    assert drawn_sides == sorted(sorted(round(side, 3) for side in piece.sides_in) for piece in packed.pieces)
