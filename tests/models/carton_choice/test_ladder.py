"""The ladder by given rows: a step is taken where it is cheaper, never where it is dearer."""

from __future__ import annotations

import pandas as pd
import pytest

from models.carton_choice import ladder
from models.carton_choice.steps import STEPS

MONTH = pd.Timestamp("2026-10-01")
USAGES = pd.DataFrame(
    {
        "class_key": [1, 2, 3],
        "contents_key": [1, 1, 2],
        "shipped_month": MONTH,
        "item_type": "tripod",
        "packing_method": "paper",
        "carton_code": ["LONG", "LONG", "TUBE"],
        "used_height_in": [48.0, 48.0, 40.0],
        "parcel_count": [2, 1, 1],
        "spent_cents": [5_000, 1_000, 900],
        "void_cents": 0,
    }
)
CHOICES = pd.DataFrame(
    [(1, "stocked", 0, 2_000), (1, "cut", 1, 1_900), (2, "stocked", 0, 1_200), (2, "cut", 1, 950)],
    columns=["class_key", "option_kind", "option_key", "price_cents"],
)
OFFERS = pd.DataFrame(
    {
        "option_key": [0, 1],
        "option_kind": ["stocked", "cut"],
        "carton_code": ["SHORT", "LONG"],
        "inside_height_in": [45.5, 45.0],
    }
)


def test_each_step_takes_what_is_cheaper_and_keeps_the_rest_as_sent() -> None:
    rungs = ladder.carton_ladder(ladder.priced_usages(USAGES, CHOICES)).set_index("ladder_step")
    # From stock: two parcels at 2,000; the second class would be dearer, the third fits nothing.
    assert rungs.loc["right carton from stock", "ladder_cents"] == 4_000 + 1_000 + 900
    assert rungs.loc["right carton from stock", "better_parcel_count"] == 2
    assert rungs.loc["cut down", "ladder_cents"] == 3_800 + 950 + 900
    assert rungs.loc["cut down", "better_parcel_count"] == 3
    assert rungs["ladder_cents"].loc["made to measure"] == rungs["ladder_cents"].loc["cut down"]
    assert (rungs["saving_cents"] == 6_900 - rungs["ladder_cents"]).all()
    assert list(rungs.index) == [step for step in STEPS if step in rungs.index]


def test_the_best_carton_is_the_one_used_where_nothing_is_cheaper() -> None:
    best = ladder.best_cartons(ladder.priced_usages(USAGES, CHOICES), CHOICES, OFFERS, {1: "1 tripod"})
    tube = best[best["carton_code"] == "TUBE"].iloc[0]
    assert (tube["best_carton_code"], tube["best_height_in"], tube["is_cut"]) == ("TUBE", 40.0, False)
    assert tube["contents"] == "contents not looked at" and tube["saving_cents"] == 0
    long = best[best["carton_code"] == "LONG"].iloc[0]
    assert (long["best_carton_code"], long["best_height_in"], long["is_cut"]) == ("LONG", 45.0, True)
    assert (long["parcel_count"], long["saving_cents"]) == (3, 6_000 - 4_750)


@pytest.mark.parametrize(("parcels", "is_shown"), [(4, True), (3, False)])
def test_chosen_sizes_are_shown_only_for_the_parcels_they_were_chosen_for(parcels: int, is_shown: bool) -> None:
    kept = pd.DataFrame(
        {
            "shipped_month": [MONTH],
            "item_type": ["tripod"],
            "parcel_count": [parcels],
            "better_parcel_count": [1],
            "ladder_cents": [5_100],
            "saving_cents": [1_800],
        }
    )
    rungs = ladder.with_best_sizes(ladder.carton_ladder(ladder.priced_usages(USAGES, CHOICES)), kept)
    assert ("best sizes" in set(rungs["ladder_step"])) is is_shown
    assert ("best sizes" in set(ladder.ladder_months(rungs)["ladder_step"])) is is_shown
