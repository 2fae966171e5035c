"""How many cartons of each size will be used: the use of recent weeks, led on by last year's season.

A carton's own level is that of the last 13 weeks, or of the days since it came into use, so growth and changes of size
are in it as they were recorded. Whether days without it are chance: n days of use in a span of H show none in G days
beside it with the chance (H / (H + G)) ** (n - 1), by the law that `models/damage/claims_end.py` cites. How
the days to come differ from these weeks is what all parcels of the shop did a year (52 weeks) earlier; where the
records do not go back so far, the recent weeks are taken to go on.
"""

from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from models.carton_choice.order_words import RECENT, SEASON
from models.plain_rows import UNNAMED

Days = NDArray[np.float64]
RECENT_DAYS, YEAR_DAYS, WEEK = 91, 364, 7
# Days of records below which nothing is forecast, parcels of a year ago below which they show no season, and days
# to either side over which a day of a year ago is averaged (common practice, no source).
FEWEST_DAYS, FEWEST_PARCELS, SMOOTHED_DAYS = 28, 100, 14
# Weeks whose counts show how use varies, the latest; fewer than the least show nothing (common practice, no source).
MOST_WEEKS, FEWEST_WEEKS = 26, 8
# Days without a carton that chance explains less often than this: it was not in use (common practice, no source).
UNLIKELY = 0.01


@dataclass(frozen=True)
class Use:
    """Parcels by day, from the first to the last day of the bench log, None without one: of each carton and of all."""

    first_on: pd.Timestamp | None
    last_on: pd.Timestamp | None
    by_carton: dict[str, Days]
    total: Days

    @property
    def is_known(self) -> bool:
        """Whether the records are long enough to say what will be used."""
        return len(self.total) >= FEWEST_DAYS

    @property
    def basis(self) -> str:
        """What the forecast follows: SEASON or RECENT."""
        return RECENT if _year_before(self.total) is None else SEASON

    def expected(self, code: str, days: int) -> Days:
        """Cartons expected to be used on each of the next days; those of a carton that nothing was packed in: none."""
        own = self.by_carton.get(code)
        if own is None or not self.is_known:
            return np.zeros(days)
        recent = self._recent(code)
        return np.asarray(own[-recent:].mean() * self.season(days, recent))

    def last_used_on(self, code: str) -> pd.Timestamp | None:
        """Day on which the carton was packed last; None where it never was."""
        own = self.by_carton.get(code)
        if own is None or self.last_on is None or not own.any():
            return None
        return self.last_on - pd.Timedelta(days=len(own) - 1 - int(np.flatnonzero(own)[-1]))

    def is_silent(self, code: str) -> bool:
        """Whether the carton has not been packed for longer than chance explains."""
        own = self.by_carton.get(code)
        if own is None or not own.any():
            return False
        end = int(np.flatnonzero(own)[-1]) + 1
        return _is_gap(own[max(end - RECENT_DAYS, 0) : end], len(own) - end)

    def _in_use(self, code: str) -> int:
        """Last days of the record in which the carton was in use: all, or those since it was first packed."""
        own = self.by_carton.get(code)
        if own is None or not own.any():
            return len(self.total)
        first = int(np.flatnonzero(own)[0])
        return max(len(own) - first, FEWEST_DAYS) if _is_gap(own[first:], first) else len(own)

    def _recent(self, code: str) -> int:
        """Days whose use is the carton's level."""
        return min(self._in_use(code), len(self.total), RECENT_DAYS)

    def season(self, days: int, recent: int = RECENT_DAYS) -> Days:
        """Each of the next days against a day of so many recent ones; ones where the records show no season."""
        if self.basis == RECENT:
            return np.ones(days)
        before = _year_before(self.total, recent) or _year_before(self.total)
        at = len(self.total) + np.arange(days) % YEAR_DAYS - YEAR_DAYS
        sums = np.concatenate([[0.0], np.cumsum(self.total)])
        low = np.maximum(at - SMOOTHED_DAYS, 0)
        high = np.minimum(at + SMOOTHED_DAYS + 1, len(self.total))
        return np.asarray((sums[high] - sums[low]) / (high - low) / before)

    def against(self, first_on: pd.Timestamp, last_on: pd.Timestamp, days: int) -> Days:
        """Each of the next days against a day of that span of the records; ones where nothing can be said."""
        if self.first_on is None or not self.is_known:
            return np.ones(days)
        low, high = (first_on - self.first_on).days, (last_on - self.first_on).days
        span = self.total[max(low, 0) : max(high + 1, 0)]
        if not span.any():
            return np.ones(days)
        return np.asarray(self.season(days) * self.total[-RECENT_DAYS:].mean() / span.mean())

    def dispersion(self, code: str, days: int) -> float:
        """Variance of the use of the next days over what is expected of it: that of its weeks, at least 1, which is
        what independent parcels show (Poisson), and that of the level itself, which so many recent days tell."""
        recent = self._recent(code)
        return self._of_weeks(code) * (1 + days / recent) if recent else 1.0

    def _of_weeks(self, code: str) -> float:
        weeks = min(self._in_use(code) // WEEK, MOST_WEEKS)
        own = self.by_carton.get(code)
        if own is None or weeks < FEWEST_WEEKS:
            return 1.0
        counts = own[len(own) - weeks * WEEK :].reshape(weeks, WEEK).sum(axis=1)
        return max(1.0, float(counts.var(ddof=1) / counts.mean())) if counts.any() else 1.0


def _is_gap(own: Days, gap: int) -> bool:
    """Whether chance seldom explains that no piece was used in so many days beside these, which begin or end in use."""
    spans = int((own > 0).sum()) - 1
    return bool((len(own) / (len(own) + gap)) ** spans < UNLIKELY)


def _year_before(total: Days, recent: int = RECENT_DAYS) -> float | None:
    """Parcels a day in the same days of the year before; None where they are not on record or too few to show."""
    found = total[-YEAR_DAYS - recent : -YEAR_DAYS]
    fewest = FEWEST_PARCELS * recent / RECENT_DAYS
    return float(found.mean()) if len(found) == recent and found.sum() >= fewest else None


def use_of(days: pd.DataFrame) -> Use:
    """The use that marts.carton_days records: shipped_on, carton_code, parcel_count. Days on which no carton is on
    record, before the first or after the last one that is, say nothing of use."""
    named = days[days["carton_code"] != UNNAMED]
    if named.empty:
        return Use(None, None, {}, np.zeros(0))
    first, last = (pd.Timestamp(day) for day in (named["shipped_on"].min(), named["shipped_on"].max()))
    rows = days.assign(at=(pd.to_datetime(days["shipped_on"]) - first).dt.days)
    length = int((last - first).days) + 1
    rows = rows[rows["at"].between(0, length - 1)]
    by_carton = {str(code): _by_day(own, length) for code, own in rows.groupby("carton_code")}
    return Use(first, last, by_carton, _by_day(rows, length))


def _by_day(rows: pd.DataFrame, length: int) -> Days:
    counts = np.bincount(rows["at"].to_numpy(np.int64), rows["parcel_count"].to_numpy(float), minlength=length)
    return counts.astype(np.float64)
