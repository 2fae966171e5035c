"""Learned prices beside the median by weight band and zone and gradient boosting, on bills that neither has seen."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import pandas as pd

from models.learned_prices.cells import LANE, Numbers
from models.learned_prices.learning import learned

# Bands as a person would cut them.
EDGES = [0, 1, 2, 3, 5, 7, 10, 15, 20, 25, 30, 40, 50, 60, 70, 200]
Rival = Callable[[pd.DataFrame, pd.DataFrame], Numbers]


@dataclass(frozen=True)
class Trial:
    """Mean absolute errors in cents on bills left out that have a price, the share of them within the interval, and the
    counts of right bills and of wrong ones above the interval that would be disputed."""

    error: float
    errors: dict[Rival, float]
    covered: float
    bills: int
    right: int
    disputed_right: int
    wrong_above: int
    disputed_wrong: int


def middles(seen: pd.DataFrame, asked: pd.DataFrame) -> Numbers:
    """The median by service, zone and weight band; of a service's band where the zone has none."""
    by = [*LANE, "weight_band"]
    seen, asked = _cut(seen), _cut(asked)
    own = seen.groupby(by)["base_cents"].median().reindex(pd.MultiIndex.from_frame(asked[by])).to_numpy()
    by = ["service", "weight_band"]
    all_zones = seen.groupby(by)["base_cents"].median().reindex(pd.MultiIndex.from_frame(asked[by])).to_numpy()
    return np.where(np.isnan(own), np.where(np.isnan(all_zones), seen["base_cents"].median(), all_zones), own)


def _cut(rows: pd.DataFrame) -> pd.DataFrame:
    return rows.assign(weight_band=pd.cut(rows["billed_weight"], EDGES, labels=False))


def boosted(seen: pd.DataFrame, asked: pd.DataFrame) -> Numbers:
    """Gradient boosting on weight, zone and service for the mean absolute error, the stronger of two losses here."""
    from sklearn.ensemble import HistGradientBoostingRegressor

    services = {name: place for place, name in enumerate(sorted(seen["service"].unique()))}
    rows = [
        np.column_stack(
            [part["billed_weight"], part["zone"].astype(int), part["service"].map(services).fillna(0).astype(int)]
        )
        for part in (seen, asked)
    ]
    model = HistGradientBoostingRegressor(loss="absolute_error", categorical_features=[2], random_state=1)
    found: Numbers = model.fit(rows[0], seen["base_cents"]).predict(rows[1])
    return found


def trial(bills: pd.DataFrame, folds: int = 10, rivals: tuple[Rival, ...] = (middles, boosted)) -> Trial:
    """Each fold in turn is priced by what the others teach."""
    fold = np.random.default_rng(1).permutation(len(bills)) % folds
    parts = [_fold(bills[fold != number], bills[fold == number], rivals) for number in range(folds)]
    found = pd.concat(parts)
    over = found["base_cents"] - found["price"]
    is_disputed, is_above = over > found["miss"], found["base_cents"] - found["right_cents"] > found["interval"]
    return Trial(
        error=float(over.abs().mean()),
        errors={rival: float((found["base_cents"] - found[rival.__name__]).abs().mean()) for rival in rivals},
        covered=float((over.abs() <= found["interval"]).mean()),
        bills=len(found),
        right=int((~found["is_wrong"]).sum()),
        disputed_right=int((is_disputed & ~found["is_wrong"]).sum()),
        wrong_above=int((found["is_wrong"] & is_above).sum()),
        disputed_wrong=int((found["is_wrong"] & is_above & is_disputed).sum()),
    )


def _fold(seen: pd.DataFrame, asked: pd.DataFrame, rivals: tuple[Rival, ...]) -> pd.DataFrame:
    found = asked.assign(**{rival.__name__: rival(seen, asked) for rival in rivals})
    for lane in learned(seen):
        is_lane = (found["service"] == lane.service) & (found["zone"] == lane.zone)
        bands = found.loc[is_lane, "billed_weight"].to_numpy(dtype=np.intp)
        cents, counts = lane.curve.price_at(bands), lane.curve.count_at(bands)
        found.loc[is_lane, "price"] = cents
        found.loc[is_lane, "interval"] = pd.array(lane.misses.interval_at(cents, counts), dtype="Float64").to_numpy(
            dtype=float, na_value=np.nan
        )
        found.loc[is_lane, "miss"] = pd.array(lane.misses.miss_at(cents, counts), dtype="Float64").to_numpy(
            dtype=float, na_value=np.nan
        )
    return found.dropna(subset=["price", "interval"])
