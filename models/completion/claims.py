"""Damage still to be reported, and payments still to come on claims that are open."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd

from models.completion.drawn import DRAWS, NOTHING, Drawn, normal
from models.damage.arrays import FloatArray, floats
from models.damage.lags import LagCurve, reporting_lags
from models.damage.severity import STILL_OPEN, recovered_share, severity_cents

# Parcels of an item type on which its own claims count as much as the shop's (common practice, no source).
ENOUGH_PARCELS = 200.0
# Claims of an item type on which their own mean loss counts as much as the shop's (common practice, no source).
ENOUGH_CLAIMS = 10.0
MONTHS = 12
# A claim that is open for longer is not counted on any more (common practice, no source).
LONGEST_OPEN_DAYS = 180


@dataclass(frozen=True)
class Claims:
    """What claims of the last twelve months say. claims: rows of marts.claim_losses with `loss_cents`. exposed: parcels
    by day of shipping and item type, with `share` of their claims reported. rate, loss: by item type, of one parcel
    and of one claim."""

    curve: LagCurve
    claims: pd.DataFrame
    exposed: pd.DataFrame
    rate: pd.Series[float]
    loss: pd.Series[float]
    usual_rate: float
    usual_loss: float

    def to_come(self, month: pd.Timestamp, more: pd.Series[float], rng: np.random.Generator) -> Drawn:
        """Damage of the month that nobody has reported yet. more: parcels to come by item type."""
        rows = self.exposed[self.exposed["shipped_month"] == month]
        parcels = floats(rows["parcel_count"])
        waiting = (parcels * (1.0 - floats(rows["share"]))).clip(0.0)
        types = pd.concat([rows["item_type"], pd.Series(more.index, dtype=object)], ignore_index=True)
        expected = np.concatenate([waiting, floats(more)]) * self._of(self.rate, types, self.usual_rate)
        mean = float((expected * self._of(self.loss, types, self.usual_loss)).sum())
        if expected.sum() <= 0:
            return NOTHING
        unsure = float((parcels * floats(rows["deviation"])).sum()) / max(float(parcels.sum()), 1.0)
        spread = unsure * float(parcels.sum()) * self.usual_rate / float(expected.sum())
        return Drawn(round(mean), self._losses(float(expected.sum()), mean, spread, rng))

    def _losses(self, count: float, mean: float, spread: float, rng: np.random.Generator) -> FloatArray:
        """Draws of the sum of so many losses: their number by chance, each one of the shop's own."""
        seen = len(self.claims) + 0.5
        rates = rng.gamma(seen, 1.0 / seen, DRAWS) * np.maximum(1.0 + spread * rng.standard_normal(DRAWS), 0.0)
        counts = rng.poisson(count * rates)
        picked = rng.choice(floats(self.claims["loss_cents"]), int(counts.sum()))
        sums = np.bincount(np.repeat(np.arange(DRAWS), counts), picked, minlength=DRAWS)
        losses = floats(self.claims["loss_cents"])
        average, own = float(losses.mean()), float(losses.std()) / np.sqrt(len(losses))
        scale = mean / (count * average) if average else 1.0
        return np.asarray(scale * (sums + counts * own * rng.standard_normal(DRAWS)), dtype=float)

    @staticmethod
    def _of(by_type: pd.Series[float], types: pd.Series[str], usual: float) -> FloatArray:
        return np.asarray(types.map(by_type).astype(float).fillna(usual), dtype=float)


def claims_known(losses: pd.DataFrame, exposure: pd.DataFrame, as_of: pd.Timestamp, window_days: int) -> Claims | None:
    """What claims say on a day; None where too few are on record to tell how late they come. losses:
    marts.claim_losses, exposure: marts.exposure_cells. Claims are counted up to the greatest age that the record could
    show: how many come later, nobody has seen."""
    lags = losses["reporting_lag_days"]
    known = losses[(lags >= 0) & (lags <= window_days)]
    if known.empty:
        return None
    known = known.assign(loss_cents=floats(severity_cents(known)))
    curve = reporting_lags(known["shipped_on"], known["opened_on"], as_of, window_days=window_days)
    if curve.is_default:
        return None
    exposed = _exposed(exposure, curve, as_of, int((as_of - known["shipped_on"].min()).days))
    since = max(as_of - pd.DateOffset(months=MONTHS), known["shipped_on"].min())
    recent, claimed = exposed[exposed["shipped_on"] >= since], known[known["shipped_on"] >= since]
    if claimed.empty:
        recent, claimed = exposed, known
    rate, loss, usual_rate, usual_loss = _by_item_type(recent, claimed)
    return Claims(curve, claimed, exposed, rate, loss, usual_rate, usual_loss)


def _exposed(exposure: pd.DataFrame, curve: LagCurve, as_of: pd.Timestamp, greatest_age: int) -> pd.DataFrame:
    rows = exposure.groupby(["shipped_on", "item_type"])["parcel_count"].sum().reset_index()
    ages = np.asarray((as_of - rows["shipped_on"]).dt.days, dtype=np.int64)
    deviation = np.append(curve.standard_error, 0.0).take(np.clip(ages, 0, curve.window_days + 1), mode="clip")
    month = rows["shipped_on"].dt.to_period("M").dt.start_time
    seen = float(curve.share_reported(np.array([greatest_age]))[0])
    share = np.minimum(curve.share_reported(ages) / seen, 1.0)
    return rows.assign(shipped_month=month, share=share, deviation=deviation)


def _by_item_type(
    exposed: pd.DataFrame, claims: pd.DataFrame
) -> tuple[pd.Series[float], pd.Series[float], float, float]:
    weighted = exposed.assign(exposure=floats(exposed["parcel_count"]) * floats(exposed["share"]))
    parcels = weighted.groupby("item_type")["exposure"].sum()
    by_type = claims.groupby("item_type")["loss_cents"]
    counts, totals = (
        found.reindex(parcels.index).fillna(0.0).astype(float) for found in (by_type.size(), by_type.sum())
    )
    usual_rate = len(claims) / max(float(parcels.sum()), float(len(claims)))
    usual_loss = float(claims["loss_cents"].mean())
    rate = (counts + ENOUGH_PARCELS * usual_rate) / (parcels + ENOUGH_PARCELS)
    loss = (totals + ENOUGH_CLAIMS * usual_loss) / (counts + ENOUGH_CLAIMS)
    return rate, loss, usual_rate, usual_loss


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
