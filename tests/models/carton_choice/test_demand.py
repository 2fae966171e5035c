"""Contents read from the goods of a parcel, or from the inside that held what nobody measured."""

from __future__ import annotations

import pandas as pd

from models.carton_choice import demand
from models.packing.fit import Verdict, fit
from models.packing.needed import contents
from tests.models.packing.goods import item

NO_BUNDLES = pd.DataFrame({"item_type": []})
ITEMS = demand.items_by_type(
    pd.DataFrame(
        {
            "item_type": ["mount head", "counterweight"],
            "length_in": [14.0, 7.0],
            "width_in": [11.0, 7.0],
            "height_in": [9.0, 5.0],
            "weight_lb": [21.0, 11.0],
            "turns": ["upright", "any"],
            "may_lie_under": [False, None],
        }
    ),
    NO_BUNDLES,
)
GOODS = demand.LINE.join([f"mount head{demand.FIELD}1", f"counterweight{demand.FIELD}2"])


def known(*rows: tuple[int, str | None, float]) -> pd.DataFrame:
    frame = pd.DataFrame(list(rows), columns=["contents_key", "goods", "clearance_in"])
    return frame.assign(bound_length_in=20.0, bound_width_in=12.0, bound_height_in=6.0)


def test_goods_are_read_with_their_quantities_and_the_clearance() -> None:
    found = demand.contents_by_key(known((7, GOODS, 1.5)), ITEMS)[7]
    assert {line.item_type: quantity for line, quantity in found.lines} == {"mount head": 1, "counterweight": 2}
    assert (found.clearance_in, len(found.pieces)) == (1.5, 3)
    assert demand.in_words(found) == "2 counterweight, 1 mount head"
    assert not demand.is_single(found) and not demand.is_bounded(found)


def test_goods_of_unknown_sides_need_the_inside_that_held_them() -> None:
    found = demand.contents_by_key(known((3, None, 1.5)), ITEMS)[3]
    assert demand.is_bounded(found) and demand.is_single(found)
    assert demand.in_words(found) == demand.UNKNOWN_GOODS
    assert fit(found, (20, 12, 6)).verdict is Verdict.FITS
    assert fit(found, (12, 20, 6)).verdict is Verdict.FITS
    # Nothing says that they may be laid on another face, so a lower carton does not hold them however long it is.
    assert fit(found, (40, 12, 5.9)).verdict is not Verdict.FITS
    assert fit(found, (20, 6, 12)).verdict is not Verdict.FITS


def test_two_alike_are_not_one_piece() -> None:
    assert demand.is_single(contents([(item("cube", 1, 1, 1), 1)]))
    assert not demand.is_single(contents([(item("cube", 1, 1, 1), 2)]))


def test_rare_mixed_contents_are_left_out_and_single_pieces_never() -> None:
    cube = item("cube", 1, 1, 1)
    many = {key: contents([(cube, 1 + key % 2)], key / 1_000) for key in range(2 * demand.MOST_MIXED + 10)}
    kept = demand.looked_at(many)
    mixed = [key for key in kept if key % 2]
    assert [key for key in many if not key % 2] == [key for key in kept if not key % 2]
    assert mixed == [key for key in many if key % 2][: demand.MOST_MIXED]
