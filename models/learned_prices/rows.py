"""Learned prices as rows of a price file."""

from collections.abc import Iterable

import numpy as np
import pandas as pd

from models.learned_prices.learning import LearnedLane

WHOLE = ["price_cents", "interval_cents", "miss_cents"]


def price_rows(lanes: Iterable[LearnedLane]) -> pd.DataFrame:
    """service, zone, up_to_weight, price_cents, interval_cents, miss_cents (Int64), one row for each band of weight.

    Bands lie within the weights seen; before them stands one row without a price, so that lighter parcels are listed as
    unrated.
    """
    parts = [_rows(lane) for lane in lanes]
    return pd.concat(parts, ignore_index=True).astype(dict.fromkeys(WHOLE, "Int64"))


def _rows(lane: LearnedLane) -> pd.DataFrame:
    first, last = int(lane.curve.bands[0]), int(lane.curve.bands[-1])
    bands = np.arange(first, last + 1)
    cents, counts = lane.curve.price_at(bands), lane.curve.count_at(bands)
    found = pd.DataFrame(
        {
            "up_to_weight": bands,
            "price_cents": cents,
            "interval_cents": lane.misses.interval_at(cents, counts),
            "miss_cents": lane.misses.miss_at(cents, counts),
        }
    ).astype(dict.fromkeys(WHOLE, "Int64"))
    if first > 1:
        lighter = pd.DataFrame({"up_to_weight": [first - 1]} | {name: [pd.NA] for name in WHOLE}).astype(found.dtypes)
        found = pd.concat([lighter, found], ignore_index=True)
    weights = (found["up_to_weight"] * lane.step).round(3)
    return found.assign(service=lane.service, zone=lane.zone, up_to_weight=weights)[
        ["service", "zone", "up_to_weight", *WHOLE]
    ]
