"""What the packing bench needs on paper: per item type and packing method the carton, the cut and where to score."""

from collections.abc import Mapping
from typing import Any

import numpy as np
import pandas as pd

from models.packing.fit import fit
from models.packing.geometry import cut_down, needed_flap_in, stocked_carton
from models.packing.needed import Contents
from models.plain_rows import as_dicts

CUT_COLUMNS = ["score_at_in", "trim_at_in", "flap_in", "needed_flap_in"]
# The sides of the piece along the carton's length, width and height, and where it begins.
LIES_COLUMNS = [*("along_length_in", "along_width_in", "along_height_in"), *("left_in", "front_in", "bottom_in")]
SIDES = ("length", "width", "height")
# A length from which a carrier charges is told where the closed carton ends within so many inches of it, as in
# marts.closed_lengths.
NEAR_IN = 4.0
# What converting a limit and back may cost it.
HAIR_IN = 1e-6


def bench_sheets(
    options: pd.DataFrame,
    weights: pd.DataFrame,
    offers: pd.DataFrame,
    catalogue: pd.DataFrame,
    single: Mapping[int, Contents],
) -> pd.DataFrame:
    """One row per item type and packing method, for parcels of one piece.

    Of the cartons that would have served most of its parcels, the one that would have cost least in all. options,
    weights: rows of the queries `sheet_options` and `sheet_weights`. single: contents of one piece by key.
    Flaps are trimmed to meet, since overlapping ones would lie a board higher than the price was reckoned with.
    """
    rows = options[options["contents_key"].isin(list(single))].sort_values(
        ["item_type", "packing_method", "parcel_count", "total_cents", "option_key"],
        ascending=[True, True, False, True, True],
    )
    first = rows.drop_duplicates(["item_type", "packing_method"])
    found = first.merge(weights, on=["contents_key", "item_type", "packing_method"]).merge(offers, on="option_key")
    found = found.rename(columns={"carton_code": "best_carton_code"}).assign(is_cut=found["option_kind"] == "cut")
    found["saving_cents"] = found["spent_cents"] - found["total_cents"]
    latest = {str(row["carton_code"]): row for row in as_dicts(catalogue[catalogue["is_current"]])}
    cuts = [_cut(row, latest) for row in as_dicts(found)]
    found[CUT_COLUMNS] = pd.DataFrame(cuts, columns=CUT_COLUMNS, index=found.index, dtype=float)
    lies = [_lies(row, single) for row in as_dicts(found)]
    found[LIES_COLUMNS] = pd.DataFrame(lies, columns=LIES_COLUMNS, index=found.index, dtype=float)
    return found


def _cut(row: Mapping[str, Any], latest: Mapping[str, Mapping[str, Any]]) -> tuple[float | None, ...]:
    """Score, trim, flap and least flap of a cut carton, on its stated sides; nothing for a whole one."""
    if not row["is_cut"] or row["best_carton_code"] not in latest:
        return (None, None, None, None)
    carton = stocked_carton(latest[row["best_carton_code"]])
    cut = cut_down(carton, float(row["inside_height_in"]), is_eased=False)
    return (cut.score_at_in, cut.trim_at_in, cut.flap_in, needed_flap_in(carton))


def _lies(row: Mapping[str, Any], single: Mapping[int, Contents]) -> tuple[float | None, ...]:
    """How the piece lies by a placement that stands the check, in the middle, since what fills the rest goes all round;
    nothing where none was found or the carton is round."""
    length, width, height = (float(row[f"inside_{side}_in"]) for side in SIDES)
    inside = (length, width, height)
    placements = fit(single[int(row["contents_key"])], inside).placements if row["is_rectangular"] else ()
    if len(placements) != 1:
        return (None,) * len(LIES_COLUMNS)
    sides = placements[0].sides_in
    return (*sides, *((whole - side) / 2 for whole, side in zip(inside, sides, strict=True)))


def bench_carriers(sheets: pd.DataFrame, services: pd.DataFrame) -> pd.DataFrame:
    """One row per bench sheet and carrier: the closed sides as its tariff rounds them, and the length not to pass.

    sheets: analysis.bench_sheets. services: rows of the query `sheet_carriers`. The length is the nearest one above the
    closed carton from which the carrier charges, less a thousandth of the tariff's unit, where it is within NEAR_IN. A
    length plus girth is that of the rounded sides, the greatest that is not charged, where the carton's is within twice
    NEAR_IN: a carton an inch higher has two inches more of it.
    """
    found = sheets[["item_type", "packing_method", "length_in", "width_in", "height_in"]].merge(
        services, on=["item_type", "packing_method"]
    )
    per_in, step = found["length_per_in"].astype(float), found["side_step_milli"].astype(float)
    for side in SIDES:
        milli = (found[f"{side}_in"] * per_in * 1_000).round() + found["side_bias_milli"]
        found[f"label_{side}_in"] = np.floor(milli / step) * step / 1_000 / per_in
    beyond = found["limit_in"].astype(float) - found["length_in"]
    found["length_at_most_in"] = (found["limit_in"] - 0.001 / per_in).where((beyond > 0) & (beyond <= NEAR_IN))
    key = ["item_type", "packing_method", "carrier"]
    longest, second, shortest = (found[f"label_{side}_in"] for side in SIDES)
    found["label_girth_in"] = longest + 2 * (second + shortest)
    most = np.floor(found["girth_most_milli"].astype(float) / step) * step / 1_000 / per_in
    room = most - found["label_girth_in"]
    found["girth_at_most_in"] = most
    found["girth_at_most_in"] = found["girth_at_most_in"].where((room > -HAIR_IN) & (room <= 2 * NEAR_IN))
    found["girth_at_most_in"] = found.groupby(key)["girth_at_most_in"].transform("min")
    return found.sort_values([*key, "length_at_most_in"]).drop_duplicates(key)
