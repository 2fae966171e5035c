"""What is offered: everything fits, keeps its flaps, and nothing cheaper was left out."""

from __future__ import annotations

import numpy as np
import pandas as pd
from hypothesis import given, settings
from hypothesis import strategies as st

from models.carton_choice import fits, offers
from models.columns.goods import TURNS
from models.packing.fit import Known, Verdict, fit
from models.packing.geometry import cut_down, needed_flap_in, stocked_carton
from models.packing.needed import Contents, PackedItem, contents
from tests.models.carton_choice.catalogues import catalogue, entry
from tests.sampling import tries

SIDES = st.integers(2, 16)
ITEMS = st.builds(PackedItem, st.just("thing"), SIDES, SIDES, SIDES, st.sampled_from(TURNS), st.booleans())
PARCELS = st.builds(
    lambda item, quantity, clearance: contents([(item, quantity)], clearance),
    ITEMS,
    st.integers(1, 2),
    st.sampled_from([0.0, 0.5, 1.0]),
)
BOXES = st.tuples(SIDES, SIDES, SIDES, st.integers(50, 400), st.booleans(), st.integers(1, 8))


def row_of(number: int, box: tuple[int, int, int, int, bool, int]) -> dict[str, object]:
    length, width, height, cents, is_cuttable, lowest = box
    inside = (max(length, width), min(length, width), height)
    least = {"is_cuttable": is_cuttable, "minimum_height_in": min(lowest, height)}
    return entry(f"K-{number}", inside, unit_cost_cents=cents, **least)


@settings(derandomize=True, deadline=None, max_examples=tries(60))
@given(st.lists(PARCELS, min_size=1, max_size=4), st.lists(BOXES, min_size=1, max_size=6))
def test_every_offer_holds_the_goods_and_keeps_its_flaps(
    many: list[Contents], boxes: list[tuple[int, int, int, int, bool, int]]
) -> None:
    listed = catalogue(*(row_of(number, box) for number, box in enumerate(boxes)))
    offered, geometry = offers.stocked_offers(listed, 1.0, 80)
    whole = fits.fits(many, offered.insides_in, Known())
    kept = fits.unbeaten(fits.useful(whole, geometry), offered.rows)
    for at, option in zip(*np.nonzero(kept), strict=True):
        length, width, height = offered.insides_in[option].tolist()
        assert fit(many[at], (length, width, height)).verdict is Verdict.FITS
        if geometry.is_cut[option]:
            carton = stocked_carton(listed.iloc[geometry.carton[option]].to_dict())
            cut = cut_down(carton, height, is_eased=False)
            assert carton.is_cuttable and carton.lowest_in <= height < carton.inside_in[2]
            assert cut.flap_in >= needed_flap_in(carton)


@settings(derandomize=True, deadline=None, max_examples=tries(60))
@given(
    st.lists(PARCELS, min_size=1, max_size=3),
    st.lists(BOXES, min_size=1, max_size=6),
    st.sampled_from([0.01, 0.5, 3.0]),
)
def test_nothing_cheaper_is_left_out_where_smaller_never_costs_more(
    many: list[Contents], boxes: list[tuple[int, int, int, int, bool, int]], by_volume: float
) -> None:
    """Prices that rise with volume and step up with the longest side, as carriers' do."""
    listed = catalogue(*(row_of(number, box) for number, box in enumerate(boxes)))
    offered, geometry = offers.stocked_offers(listed, 1.0, 80)
    rows = offered.rows
    steps = np.ceil(rows["volume_in3"] * by_volume) + 900 * (rows["length_in"] > 10)
    price = (steps + rows["unit_cost_cents"] + rows["cut_cents"]).to_numpy()
    whole = fits.fits(many, offered.insides_in, Known())
    kept = fits.unbeaten(fits.useful(whole, geometry), rows)
    for allowed in (["stocked"], ["stocked", "cut"]):
        priced = np.where(rows["option_kind"].isin(allowed).to_numpy(), price, np.inf)
        every, few = (np.where(answers, priced, np.inf).min(axis=1) for answers in (whole, kept))
        assert every.tolist() == few.tolist()


def test_a_smaller_carton_taken_whole_beats_a_larger_one_cut_down() -> None:
    listed = catalogue(
        entry("TALL", (9, 9, 20), unit_cost_cents=90, is_cuttable=True, minimum_height_in=10.0),
        entry("LOW", (9, 9, 12), unit_cost_cents=100),
    )
    offered, geometry = offers.stocked_offers(listed, 1.0, 80)
    high_enough = offered.insides_in[:, 2] >= 12
    kept = fits.unbeaten(high_enough[None, :], offered.rows)[0]
    assert (high_enough & geometry.is_cut).sum() == 8
    assert offered.rows.loc[kept, "carton_code"].tolist() == ["TALL", "LOW"] and not geometry.is_cut[kept].any()


def test_an_equal_offer_stays_once_and_periods_do_not_beat_each_other() -> None:
    old, new = ({"effective_from": day} for day in ("2025-01-01", "2026-01-01"))
    listed = catalogue(
        entry("A", (9, 9, 9), **old), entry("B", (9, 9, 9), **old), entry("A", (9, 9, 9), **new, unit_cost_cents=100)
    )
    offered, geometry = offers.stocked_offers(listed, 1.0, 0)
    kept = fits.unbeaten(np.ones((1, 3), dtype=np.bool_), offered.rows)
    assert kept.tolist() == [[True, False, True]] and not geometry.is_cut.any()


def test_a_tube_fits_only_what_lay_in_it() -> None:
    listed = catalogue(entry("T", (9, 9, 40), carton_style="tube", is_cuttable=True, minimum_height_in=4.0))
    offered, geometry = offers.stocked_offers(listed, 1.0, 0)
    assert not geometry.is_cut.any() and offered.rows["is_rectangular"].tolist() == [False]
    used = catalogue(entry("T", (9, 9, 40))).assign(contents_key=7)[["contents_key", "carton_code"]]
    assert fits.lay_before([7, 8], offered.rows, used).tolist() == [[True], [False]]


def test_two_cartons_slid_into_one_another_are_for_what_none_alone_holds() -> None:
    rows = pd.DataFrame({"telescope_overlap_in": [None, None, 8.0]}, dtype="float64")
    answers = np.array([[True, False, True], [False, False, True], [False, True, False]])
    kept = fits.without_needless(answers, rows)
    assert kept.tolist() == [[True, False, False], [False, False, True], [False, True, False]]
