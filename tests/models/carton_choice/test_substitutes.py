"""What stands in for a carton that has run out: given prices, expected rows."""

from __future__ import annotations

import pandas as pd

from models.carton_choice.substitutes import substitutes

OFFERS = pd.DataFrame(
    {
        "option_key": [0, 1, 2],
        "carton_code": ["big", "big", "long"],
        "option_kind": ["stocked", "cut", "stocked"],
        "inside_height_in": [12.0, 8.0, 30.0],
    }
)
WORDS = {1: "1 tripod", 2: "1 mount head"}


def sent(*rows: tuple[int, int, int, int]) -> pd.DataFrame:
    """class_key, contents_key, parcels and cents of parcels that lay in the carton which has run out."""
    found = pd.DataFrame(rows, columns=["class_key", "contents_key", "parcel_count", "spent_cents"])
    return found.assign(carton_code="gone", packing_method="foam", void_cents=0)


def prices(*rows: tuple[int, int, int]) -> pd.DataFrame:
    return pd.DataFrame(rows, columns=["class_key", "option_key", "price_cents"])


def test_one_carton_stands_in_for_all_parcels_of_the_same_contents() -> None:
    """In the big one cut 3 x 120 + 100 = 460, in the long one 3 x 100 + 170 = 470: spent were 400."""
    wanted = sent((1, 1, 3, 300), (2, 1, 1, 100))
    found = substitutes(wanted, prices((1, 1, 120), (1, 2, 100), (2, 1, 100), (2, 2, 170)), OFFERS, {"big": 7}, WORDS)
    (row,) = found.to_dict("records")
    assert (row["substitute_code"], row["is_cut"], row["best_height_in"], row["substitute_left"]) == ("big", True, 8, 7)
    assert (row["parcel_count"], row["extra_cents"], row["extra_per_parcel_cents"]) == (4, 60, 15)
    assert row["contents"] == "1 tripod"


def test_what_does_not_take_every_parcel_stands_in_for_none() -> None:
    """The carrier refuses the second class in the long carton, which would be cheaper for the first."""
    wanted = sent((1, 1, 3, 300), (2, 1, 1, 100))
    found = substitutes(wanted, prices((1, 0, 150), (1, 2, 50), (2, 0, 150)), OFFERS, {}, WORDS)
    (row,) = found.to_dict("records")
    assert row["substitute_code"] == "big" and row["extra_cents"] == 200 and pd.isna(row["substitute_left"])


def test_contents_that_nothing_else_holds_have_no_carton() -> None:
    found = substitutes(sent((1, 1, 3, 300), (3, 2, 2, 90)), prices((1, 0, 90)), OFFERS, {}, WORDS)
    by_contents = found.set_index("contents")
    assert by_contents.loc["1 tripod", "extra_cents"] == -30
    assert by_contents.loc["1 mount head", ["substitute_code", "extra_cents"]].isna().all()
    assert found["parcel_count"].sum() == 5
