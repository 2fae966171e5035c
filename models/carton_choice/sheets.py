"""What the packing bench needs on paper: per item type and packing method the carton, the cut and where to score."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any

import pandas as pd

from models.packing.geometry import cut_down, needed_flap_in, stocked_carton
from models.rows import as_dicts

CUT_COLUMNS = ["score_at_in", "trim_at_in", "flap_in", "needed_flap_in"]


def bench_sheets(
    options: pd.DataFrame, weights: pd.DataFrame, offers: pd.DataFrame, catalogue: pd.DataFrame, single: Collection[int]
) -> pd.DataFrame:
    """One row per item type and packing method, for parcels of one piece.

    Of the cartons that would have served most of its parcels, the one that would have cost least in all. options,
    weights: rows of the queries `sheet_options` and `sheet_weights`. single: keys of contents of one piece.
    Flaps are trimmed to meet, since overlapping ones would lie a board higher than the price was reckoned with.
    """
    rows = options[options["contents_key"].isin(single)].sort_values(
        ["item_type", "packing_method", "parcel_count", "total_cents", "option_key"],
        ascending=[True, True, False, True, True],
    )
    first = rows.drop_duplicates(["item_type", "packing_method"])
    found = first.merge(weights, on=["contents_key", "item_type", "packing_method"]).merge(offers, on="option_key")
    found = found.rename(columns={"carton_code": "best_carton_code"}).assign(is_cut=found["option_kind"] == "cut")
    found["saving_cents"] = found["spent_cents"] - found["total_cents"]
    latest = {str(row["carton_code"]): row for row in as_dicts(catalogue[catalogue["effective_before"].isna()])}
    cuts = [_cut(row, latest) for row in as_dicts(found)]
    found[CUT_COLUMNS] = pd.DataFrame(cuts, columns=CUT_COLUMNS, index=found.index, dtype=float)
    return found


def _cut(row: Mapping[str, Any], latest: Mapping[str, Mapping[str, Any]]) -> tuple[float | None, ...]:
    """Score, trim, flap and least flap of a cut carton, on its stated sides; nothing for a whole one."""
    if not row["is_cut"] or row["best_carton_code"] not in latest:
        return (None, None, None, None)
    carton = stocked_carton(latest[row["best_carton_code"]])
    cut = cut_down(carton, float(row["inside_height_in"]), is_eased=False)
    return (cut.score_at_in, cut.trim_at_in, cut.flap_in, needed_flap_in(carton))
