"""Damage still to be reported, and payments still to come on claims that are open."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from models.completed_months.expected_amounts import DRAWS, NOTHING, Drawn, normal
from models.damage.arrays import FloatArray, IntArray, floats
from models.damage.losses import STILL_OPEN, recovered_share, severity_cents
from models.damage.reporting_lags import WHOLE, LagCurve, reporting_lags

# Parcels of an item type on which its own claims count as much as the shop's (common practice, no source).
ENOUGH_PARCELS = 200.0
# Claims of an item type on which their own mean loss counts as much as the shop's (common practice, no source).
ENOUGH_CLAIMS = 10.0
MONTHS = 12
# A claim that is open for longer is not counted on any more (common practice, no source).
LONGEST_OPEN_DAYS = 180


@dataclass(frozen=True)
class Forecast:
    """rows: shipped_month and item_type. claims: draws of how many are still to come of each, shape (draws, rows).
    causes: of these claims."""

    rows: pd.DataFrame
    claims: FloatArray
    causes: Sequence[str]


@dataclass(frozen=True)
class Usual:
    """Claims of one parcel by item type, and cents of one claim; means of all item types for others."""

    rate: pd.Series[float]
    loss: pd.Series[float]
    mean_rate: float
    mean_loss: float

    def rates(self, types: pd.Series[str]) -> FloatArray:
        """Of each parcel's item type."""
        return np.asarray(types.map(self.rate).astype(float).fillna(self.mean_rate), dtype=float)

    def losses(self, types: pd.Series[str]) -> FloatArray:
        """Of each claim's item type."""
        return np.asarray(types.map(self.loss).astype(float).fillna(self.mean_loss), dtype=float)


@dataclass(frozen=True)
class Claims:
    """What claims of the last twelve months say. claims: rows of marts.claim_losses with `loss_cents`. exposed: parcels
    by day of shipping and item type, with the `share` of claims reported. forecast: what the model of damage expects of
    the claims that it knows. usual: what is usual of all claims; beside: of those that the model does not know."""

    curve: LagCurve
    claims: pd.DataFrame
    exposed: pd.DataFrame
    forecast: Forecast
    usual: Usual
    beside: Usual

    def to_come(self, month: pd.Timestamp, more: pd.Series[float], rng: np.random.Generator) -> Drawn:
        """Damage of the month that nobody has reported yet. more: parcels to come by item type."""
        rows = self.exposed[self.exposed["shipped_month"] == month]
        parcels, more_types = floats(rows["parcel_count"]), pd.Series(more.index, dtype=object)
        waiting = (parcels * (1.0 - floats(rows["share"]))).clip(0.0)
        beside = np.append(waiting * self.beside.rates(rows["item_type"]), floats(more) * self.usual.rates(more_types))
        own = (self.forecast.rows["shipped_month"] == month).to_numpy()
        forecast = self.forecast.claims[:, own]
        if beside.sum() + forecast.sum() <= 0:
            return NOTHING
        types = pd.concat([rows["item_type"], more_types, self.forecast.rows["item_type"][own]], ignore_index=True)
        mean = float(np.append(beside, forecast.mean(axis=0)) @ self.usual.losses(types))
        unsure = float((parcels * floats(rows["deviation"])).sum()) / max(float(waiting.sum()), 1.0)
        counts = float(beside.sum()) * self._about(unsure, rng)
        return Drawn(round(mean), self._losses(counts + rng.choice(forecast.sum(axis=1), DRAWS), mean, rng))

    def _about(self, unsure: float, rng: np.random.Generator) -> FloatArray:
        """Draws around one of how many claims there are of what is usual."""
        seen = len(self.claims) + 0.5
        return rng.gamma(seen, 1.0 / seen, DRAWS) * np.maximum(1.0 + unsure * rng.standard_normal(DRAWS), 0.0)

    def _losses(self, expected: FloatArray, mean: float, rng: np.random.Generator) -> FloatArray:
        """Draws of the sum of so many losses as are expected: their number by chance, each one of the shop's own."""
        losses, counts = floats(self.claims["loss_cents"]), rng.poisson(expected)
        sums = np.bincount(np.repeat(np.arange(DRAWS), counts), rng.choice(losses, int(counts.sum())), minlength=DRAWS)
        average, own = float(losses.mean()), float(losses.std()) / np.sqrt(len(losses))
        scale = mean / (float(expected.mean()) * average) if average else 1.0
        return np.asarray(scale * (sums + counts * own * rng.standard_normal(DRAWS)), dtype=float)


NOBODY = Forecast(pd.DataFrame({"shipped_month": [], "item_type": []}), np.zeros((1, 0)), ())


def claims_known(
    losses: pd.DataFrame,
    exposure: pd.DataFrame,
    as_of: pd.Timestamp,
    window_days: int,
    forecast: Forecast = NOBODY,
    short_days: IntArray = WHOLE,
) -> Claims | None:
    """What claims say on a day; None where too few are on record to tell how late they come. losses:
    marts.claim_losses, exposure: marts.exposure_cells. Claims are counted up to the greatest age that the record could
    show: how many come later, nobody has seen. short_days: days by which the record of claims may end before."""
    lags = losses["reporting_lag_days"]
    known = losses[(lags >= 0) & (lags <= window_days)]
    if known.empty:
        return None
    known = known.assign(loss_cents=floats(severity_cents(known)))
    window = min(window_days, max(int((as_of - known["shipped_on"].min()).days), 1))
    curve = reporting_lags(known["shipped_on"], known["opened_on"], as_of, window_days=window, short_days=short_days)
    if curve.is_default:
        return None
    exposed = _exposed(exposure, curve, as_of)
    since = max(as_of - pd.DateOffset(months=MONTHS), known["shipped_on"].min())
    recent, claimed = exposed[exposed["shipped_on"] >= since], known[known["shipped_on"] >= since]
    if claimed.empty:
        recent, claimed = exposed, known
    beside = claimed[~claimed["claim_cause"].isin(forecast.causes)] if len(forecast.causes) else claimed
    return Claims(curve, claimed, exposed, forecast, *(_by_item_type(recent, each) for each in (claimed, beside)))


def _exposed(exposure: pd.DataFrame, curve: LagCurve, as_of: pd.Timestamp) -> pd.DataFrame:
    rows = exposure.groupby(["shipped_on", "item_type"])["parcel_count"].sum().reset_index()
    ages = np.asarray((as_of - rows["shipped_on"]).dt.days, dtype=np.int64)
    drawn = curve.shares_drawn(ages, DRAWS)
    month = rows["shipped_on"].dt.to_period("M").dt.start_time
    return rows.assign(shipped_month=month, share=curve.share_reported(ages), deviation=np.std(drawn, axis=0))


def _by_item_type(exposed: pd.DataFrame, claims: pd.DataFrame) -> Usual:
    weighted = exposed.assign(exposure=floats(exposed["parcel_count"]) * floats(exposed["share"]))
    parcels = weighted.groupby("item_type")["exposure"].sum()
    by_type = claims.groupby("item_type")["loss_cents"]
    counts, totals = (
        found.reindex(parcels.index).fillna(0.0).astype(float) for found in (by_type.size(), by_type.sum())
    )
    mean_rate = len(claims) / max(float(parcels.sum()), float(len(claims)), 1.0)
    mean_loss = float(claims["loss_cents"].mean()) if len(claims) else 0.0
    rate = (counts + ENOUGH_PARCELS * mean_rate) / (parcels + ENOUGH_PARCELS)
    loss = (totals + ENOUGH_CLAIMS * mean_loss) / (counts + ENOUGH_CLAIMS)
    return Usual(rate, loss, mean_rate, mean_loss)


def recovery(losses: pd.DataFrame, month: pd.Timestamp, as_of: pd.Timestamp, rng: np.random.Generator) -> Drawn:
    """What carriers are expected to pay on the month's open claims: the share that they paid of decided ones."""
    share = recovered_share(losses)
    is_open = losses["claim_state"].isin(STILL_OPEN) & losses["paid_cents"].isna()
    is_recent = losses["opened_on"] > as_of - pd.Timedelta(days=LONGEST_OPEN_DAYS)
    is_of_month = losses["shipped_on"].dt.to_period("M").dt.start_time == month
    claimed = floats(losses["claimed_cents"][is_open & is_recent & is_of_month])
    if not share or not claimed.sum():
        return NOTHING
    return normal(share * float(claimed.sum()), share * (1.0 - share) * float((claimed**2).sum()), rng)
