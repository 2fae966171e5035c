"""Bench sheets: the carton for most parcels at the least cents, and where to score it; given rows, expected rows."""

from __future__ import annotations

import pandas as pd
import pytest

from models.carton_choice.sheets import bench_sheets
from tests.models.carton_choice.catalogues import catalogue, entry

# 1/4 in board: a closed bottom of two boards is half an inch.
CATALOGUE = catalogue(
    entry("LONG", (48, 8, 12), board_in=0.25, is_cuttable=True, effective_before="2026-01-01"),
    entry("LONG", (48, 8, 12), board_in=0.25, is_cuttable=True, effective_from="2026-01-01"),
    entry("CUBE", (12, 12, 12)),
)
OFFERS = pd.DataFrame(
    [(0, "LONG", 12.0, "stocked"), (1, "LONG", 9.0, "cut"), (2, "CUBE", 12.0, "stocked")],
    columns=["option_key", "carton_code", "inside_height_in", "option_kind"],
)
WEIGHTS = pd.DataFrame(
    [(1, "tripod", "paper", 9.5), (2, "mount", "foam", 21.0)],
    columns=["contents_key", "item_type", "packing_method", "scale_weight_lb"],
)


def sheets(*rows: tuple[int, str, str, int, int, int], single: tuple[int, ...] = (1, 2)) -> pd.DataFrame:
    columns = ["contents_key", "item_type", "packing_method", "option_key", "parcel_count", "total_cents"]
    options = pd.DataFrame(list(rows), columns=columns).assign(spent_cents=50_000)
    return bench_sheets(options, WEIGHTS, OFFERS, CATALOGUE, single)


def test_the_cut_carton_that_costs_least_is_shown_with_its_marks() -> None:
    found = sheets((1, "tripod", "paper", 0, 20, 44_000), (1, "tripod", "paper", 1, 20, 41_000))
    (row,) = found.to_dict("records")
    assert (row["best_carton_code"], row["is_cut"], row["saving_cents"]) == ("LONG", True, 9_000)
    # 9 in inside on a bottom of half an inch: score at 9.5. Flaps are half the 8 in, so cut off above 13.5.
    assert row["score_at_in"] == pytest.approx(9.5)
    assert row["flap_in"] == row["needed_flap_in"] == 4
    assert row["trim_at_in"] == pytest.approx(13.5)


def test_the_carton_that_would_have_served_more_parcels_comes_before_the_cheaper_one() -> None:
    (row,) = sheets((1, "tripod", "paper", 1, 19, 30_000), (1, "tripod", "paper", 0, 20, 44_000)).to_dict("records")
    assert (row["best_carton_code"], row["is_cut"], row["parcel_count"]) == ("LONG", False, 20)
    assert all(pd.isna(row[mark]) for mark in ("score_at_in", "trim_at_in", "flap_in", "needed_flap_in"))


def test_each_item_type_and_method_has_its_sheet_and_mixed_parcels_none() -> None:
    rows = ((1, "tripod", "paper", 0, 20, 44_000), (2, "mount", "foam", 2, 5, 9_000))
    assert sheets(*rows)["best_carton_code"].tolist() == ["CUBE", "LONG"]
    assert sheets(*rows, single=(2,))["item_type"].tolist() == ["mount"]
    assert len(sheets(*rows, single=())) == 0


def test_of_equal_cartons_the_first_is_taken_so_that_a_rebuild_shows_the_same() -> None:
    rows = [(1, "tripod", "paper", 1, 20, 44_000), (1, "tripod", "paper", 0, 20, 44_000)]
    assert sheets(*rows)["option_key"].tolist() == sheets(*rows[::-1])["option_key"].tolist() == [0]
