"""Bench sheets: the carton for most parcels at the least cents, and where to score it; given rows, expected rows."""

from __future__ import annotations

import pandas as pd
import pytest

from models.carton_choice.sheets import LIES_COLUMNS, bench_carriers, bench_sheets
from models.packing.needed import PackedItem, contents
from tests.models.carton_choice.catalogues import catalogue, entry

# 1/4 in board: a closed bottom of two boards is half an inch.
CATALOGUE = catalogue(
    entry("LONG", (48, 8, 12), board_in=0.25, is_cuttable=True, effective_before="2026-01-01"),
    entry("LONG", (48, 8, 12), board_in=0.25, is_cuttable=True, effective_from="2026-01-01"),
    entry("CUBE", (12, 12, 12)),
)
OFFERS = pd.DataFrame(
    [
        (0, "LONG", 48.0, 8.0, 12.0, "stocked", True),
        (1, "LONG", 48.0, 8.0, 9.0, "cut", True),
        (2, "CUBE", 12.0, 12.0, 12.0, "stocked", False),
    ],
    columns=[
        *("option_key", "carton_code", "inside_length_in", "inside_width_in", "inside_height_in", "option_kind"),
        "is_rectangular",
    ],
)
ITEM = PackedItem("tripod", 40.0, 5.0, 6.0, "any")
SINGLE = {1: contents([(ITEM, 1)], 1.0), 2: contents([(ITEM, 1)], 1.0)}
WEIGHTS = pd.DataFrame(
    [(1, "tripod", "paper", 9.5), (2, "mount", "foam", 21.0)],
    columns=["contents_key", "item_type", "packing_method", "scale_weight_lb"],
)


def sheets(*rows: tuple[int, str, str, int, int, int], known: tuple[int, ...] = (1, 2)) -> pd.DataFrame:
    columns = ["contents_key", "item_type", "packing_method", "option_key", "parcel_count", "total_cents"]
    options = pd.DataFrame(list(rows), columns=columns).assign(spent_cents=50_000)
    return bench_sheets(options, WEIGHTS, OFFERS, CATALOGUE, {key: SINGLE[key] for key in known})


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
    assert sheets(*rows, known=(2,))["item_type"].tolist() == ["mount"]
    assert len(sheets(*rows, known=())) == 0


def test_of_equal_cartons_the_first_is_taken_so_that_a_rebuild_shows_the_same() -> None:
    rows = [(1, "tripod", "paper", 1, 20, 44_000), (1, "tripod", "paper", 0, 20, 44_000)]
    assert sheets(*rows)["option_key"].tolist() == sheets(*rows[::-1])["option_key"].tolist() == [0]


def test_the_piece_lies_as_a_checked_placement_says_and_in_a_round_carton_as_nothing_says() -> None:
    rows = ((1, "tripod", "paper", 1, 20, 44_000), (2, "mount", "foam", 2, 5, 9_000))
    mount, tripod = sheets(*rows).to_dict("records")
    assert sorted(tripod[name] for name in LIES_COLUMNS[:3]) == [5.0, 6.0, 40.0]
    for along, start, side in zip(LIES_COLUMNS[:3], LIES_COLUMNS[3:], ("length", "width", "height"), strict=True):
        assert tripod[start] >= 1.0 and tripod[start] + tripod[along] <= tripod[f"inside_{side}_in"] - 1.0
        assert 2 * tripod[start] + tripod[along] == pytest.approx(tripod[f"inside_{side}_in"]), (
            "as much room on each side"
        )
    assert all(pd.isna(mount[name]) for name in LIES_COLUMNS)


def carriers(
    length_in: float, *services: tuple[str, int, int, float, float | None], girths: tuple[int | None, ...] = (None,)
) -> pd.DataFrame:
    """girths: the length plus girth beyond which each service charges, in thousandths of the tariff's unit."""
    goods = {"item_type": "tripod", "packing_method": "paper"}
    sheet = goods | {"length_in": length_in, "width_in": 8.9, "height_in": 8.5}
    columns = ["carrier", "side_step_milli", "side_bias_milli", "length_per_in", "limit_in"]
    known = [(*service, girth) for service in services for girth in girths]
    rows = pd.DataFrame(known, columns=[*columns, "girth_most_milli"]).assign(**goods)
    return bench_carriers(pd.DataFrame([sheet]), rows)


@pytest.mark.parametrize(
    ("step", "bias", "per_in", "sides"),
    [
        (1_000, 999, 1.0, [47.0, 9.0, 9.0]),  # up to the whole inch
        (1_000, 500, 1.0, [46.0, 9.0, 9.0]),  # to the nearest; 8.5 goes up
        (1, 0, 1.0, [46.25, 8.9, 8.5]),  # not rounded
        (1_000, 999, 2.54, [118.0, 23.0, 22.0]),  # up to the whole centimetre: 117.475, 22.606, 21.59
    ],
)
def test_label_sides_are_rounded_as_the_tariff_does(step: int, bias: int, per_in: float, sides: list[float]) -> None:
    (row,) = carriers(46.25, ("Northline", step, bias, per_in, None)).to_dict("records")
    assert [row[f"label_{side}_in"] * per_in for side in ("length", "width", "height")] == pytest.approx(sides)
    assert pd.isna(row["length_at_most_in"])


def test_the_nearest_length_above_the_closed_carton_is_the_one_not_to_pass() -> None:
    up = ("Northline", 1_000, 999, 1.0)
    (row,) = carriers(46.25, (*up, 96.001), (*up, 48.001), (*up, 44.001)).to_dict("records")
    assert row["length_at_most_in"] == pytest.approx(48.0)
    (far,) = carriers(40.0, (*up, 48.001)).to_dict("records")
    assert pd.isna(far["length_at_most_in"])
    (equal,) = carriers(48.0, (*up, 48.001)).to_dict("records")
    assert equal["length_at_most_in"] == pytest.approx(48.0)
    (beyond,) = carriers(48.5, (*up, 48.001)).to_dict("records")
    assert pd.isna(beyond["length_at_most_in"])


@pytest.mark.parametrize(
    ("girths", "most"),
    [
        ((90_000,), 90.0),  # the label's 47 + 2 x (9 + 9) = 83 ends within eight inches of it
        ((130_000, 90_000, 80_000), 90.0),  # the nearest above
        ((83_000,), 83.0),  # charged beyond 83, not at it
        ((82_999,), None),  # charged from 83 on: whole inches end at 82, and the carton is beyond
        ((90_999,), 90.0),  # rounded sides add up to whole inches
        ((92_000,), None),
        ((None,), None),
    ],
)
def test_the_length_plus_girth_not_to_pass_is_one_of_rounded_sides(
    girths: tuple[int | None, ...], most: float | None
) -> None:
    """Length plus girth is L + 2 x (W + H), each side rounded first."""
    (row,) = carriers(46.25, ("Northline", 1_000, 999, 1.0, None), girths=girths).to_dict("records")
    assert row["label_girth_in"] == 83.0
    assert pd.isna(row["girth_at_most_in"]) if most is None else row["girth_at_most_in"] == most
    (metric,) = carriers(46.25, ("Corvane", 1_000, 999, 2.54, None), girths=(210_000,)).to_dict("records")
    assert metric["label_girth_in"] * 2.54 == pytest.approx(118 + 2 * (23 + 22))
    assert metric["girth_at_most_in"] * 2.54 == pytest.approx(210)


def test_a_length_and_a_length_plus_girth_are_found_beside_each_other() -> None:
    up = ("Northline", 1_000, 999, 1.0)
    (row,) = carriers(46.25, (*up, 96.001), (*up, 48.001), girths=(90_000, 85_000)).to_dict("records")
    assert row["length_at_most_in"] == pytest.approx(48.0) and row["girth_at_most_in"] == 85.0
