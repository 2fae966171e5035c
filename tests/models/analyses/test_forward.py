"""Costs of past parcels under the latest tariff, and the percentile of them, by given rows."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from models.analyses.guidance import costs, priced


def test_what_was_billed_grows_as_base_and_surcharges_do() -> None:
    day, moved = pd.Timestamp("2026-01-05"), pd.Timestamp("2027-01-04")
    parcel = {"item_type": "tripod", "zone_band": "far", "shipped_on": day, "rated_on": moved}
    parcel |= {"billed_cents": 1_100, "cost_cents": 1_500, "own_cents": 1_000}
    rows = pd.DataFrame([parcel | {"parcel_id": name} for name in ("P1", "P2", "P3", "P4")])
    rows.loc[1, "own_cents"] = None
    rows.loc[2, "rated_on"] = day
    cents = pd.array([1_080, 1_080, 1_080, None], dtype="Int64")
    again = pd.DataFrame({"parcel_id": ["P1", "P2", "P3", "P4"], "again_cents": cents})
    assert costs(rows, again)["forward_cost_cents"].tolist() == [1_500 + 88, 1_500, 1_500, 1_500]


@pytest.mark.published
def test_the_percentile_is_one_that_the_next_parcel_stays_below() -> None:
    """R. J. Hyndman and Y. Fan, The American Statistician 50 (1996), 361-365, definition 6: of nine values in order the
    eighth is the percentile 80, as (9 + 1) x 0.8 = 8."""
    cells = {"item_type": "tripod", "zone_band": "far"}
    levels = pd.DataFrame([cells | {"median_cost_cents": 1, "high_cost_cents": 1}])
    found = pd.DataFrame([cells | {"forward_cost_cents": cents} for cents in (90, 20, 10, 40, 30, 60, 50, 80, 70)])
    assert priced(levels, found)[["median_cost_cents", "high_cost_cents"]].to_numpy().tolist() == [[50, 80]]
    assert np.isclose(
        np.quantile(found["forward_cost_cents"], 0.8), 74
    )  # definition 7, which the next one exceeds more
