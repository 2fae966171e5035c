"""Pieces wrapped together in a small shop: stated by it, or learned from what its parcels held."""

from __future__ import annotations

from typing import Any

import pandas as pd

from tests.pipelines.build.test_cartons import LONG, SHORT, parcel, tables

# As long and as high as LONG, and cheaper; by its sides it holds one tripod of 43 x 6 x 6 in, never two.
THIN = {**LONG, "carton_code": "THIN", "is_cuttable": False}
WIDE = {**THIN, "carton_code": "WIDE", "inside_width_in": 9, "inside_length_in": 9, "unit_cost_cents": 1}
LESS = {**WIDE, "carton_code": "LESS", "inside_width_in": 8}
TWO = {"packed_quantity": 2, "carton_code": "THIN"}
SALES = [{"sale_id": "S1", "quantity": 9}]


def sent(count: int, **other: Any) -> list[dict[str, Any]]:
    return [parcel(number, **TWO, **other) for number in range(count)]


def best(found: dict[str, pd.DataFrame]) -> set[str]:
    return set(found["analysis.best_cartons"]["best_carton_code"])


def test_three_parcels_show_what_holds_a_pair() -> None:
    found = tables(sent(3), [THIN, WIDE, LESS], sales=SALES)
    (bundle,) = found["analysis.bundles"].to_dict("records")
    shown = {
        name: bundle[name] for name in ("item_type", "bundled_count", "bundle_source", "clearance_in", "parcel_count")
    }
    assert shown == {
        "item_type": "tripod", "bundled_count": 2, "bundle_source": "learned", "clearance_in": 1, "parcel_count": 3,
    }  # fmt: skip
    assert [bundle[f"bundle_{side}_in"] for side in ("length", "width", "height")] == [8.5, 8.5, 48.5]
    assert best(found) == {"WIDE"}


def test_two_parcels_show_nothing() -> None:
    found = tables(sent(2), [THIN, WIDE, LESS], sales=SALES)
    assert found["analysis.bundles"].empty and best(found) == {"THIN"}


def test_a_smaller_carton_is_not_offered_for_what_was_learned() -> None:
    assert best(tables(sent(3), [THIN, LESS], sales=SALES)) == {"THIN"}


def test_pieces_that_the_bench_log_does_not_count_teach_nothing() -> None:
    unnamed = [{**each, "packed_quantity": None, "line_number": None} for each in sent(3)]
    assert tables(unnamed, [THIN, WIDE], sales=SALES)["analysis.bundles"].empty


def test_what_the_shop_states_counts_instead() -> None:
    """A pair head to tail of 43 x 6 x 6.5 in lies in SHORT, 8.5 x 8.5 x 45.5 inside, an inch clear."""
    pair = {"item_type": "tripod", "bundled_count": 2, "length_in": 43, "width_in": 6, "height_in": 6.5}
    stated = tables(sent(3), [THIN, SHORT], sales=SALES, bundles=[pair])
    assert stated["analysis.bundles"]["bundle_source"].tolist() == ["stated"] and best(stated) == {"SHORT"}
    assert best(tables(sent(3), [THIN, SHORT], sales=SALES)) == {"THIN"}
    thick = tables(sent(3), [THIN, SHORT], sales=SALES, bundles=[{**pair, "height_in": 6.6}])
    assert best(thick) == {"THIN"}
