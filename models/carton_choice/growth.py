"""Which item types grew or shrank against the same months a year before, as far as the records prove it."""

from collections.abc import Sequence

import numpy as np
import pandas as pd
from scipy.special import betaincinv

from models.carton_choice.supply import MONTHS_OF_A_YEAR
from models.carton_choice.use import FEWEST_WEEKS
from models.plain_rows import UNNAMED

Counts = tuple[int, int]
COLUMNS = (
    *("item_type", "compared_month_count", "parcel_count", "year_ago_parcel_count"),
    *("growth_ratio", "growth_low", "growth_high", "is_growth_proved"),
)
# Of all item types together.
LEVEL = 0.95
# A month of weeks at the least in either year; with two months there are FEWEST_WEEKS.
FEWEST_MONTHS = 2


def growth_table(sent: pd.DataFrame) -> pd.DataFrame:
    """One row per item type: its parcels in the last whole months, at most twelve, and in the same months a year
    before, their ratio with its interval, and whether growth is proved: the interval leaves out one.

    sent: item_type, shipped_month, shipped_week, parcel_count of all parcels on record. No rows where no two months
    are on record in both years. Counts of two spans are compared given their sum (J. Przyborowski and H. Wilenski,
    Biometrika 31 (1940) 313-323), by the exact limits of C. J. Clopper and E. S. Pearson, Biometrika 26 (1934)
    404-413; where weeks vary more than independent parcels do, by so many fewer parcels. Of m item types each has the
    level 1 - 0.05 / m. Parcels of which no record names the goods may be of any item type: the limits allow for all.
    """
    last = compared_months(sent)
    rows = sent.assign(month=pd.to_datetime(sent["shipped_month"])) if last else sent.iloc[:0]
    every = {str(item): own for item, own in rows.groupby("item_type")}
    unknown = _counts(every.pop(UNNAMED), last) if UNNAMED in every else (0, 0)
    counted = {item: counts for item, own in every.items() if any(counts := _counts(own, last))}
    level = 1 - (1 - LEVEL) / max(1, len(counted))
    found = [
        _row(item, len(last), counts, unknown, _dispersion(every[item]), level) for item, counts in counted.items()
    ]
    return pd.DataFrame(found, columns=list(COLUMNS))


def compared_months(sent: pd.DataFrame) -> list[pd.Timestamp]:
    """The last whole months of which the same months a year before are on record whole; none where they are too few."""
    weeks, months = (pd.to_datetime(sent[name]) for name in ("shipped_week", "shipped_month"))
    if months.empty:
        return []
    first, last = months.min(), months.max()
    first = first if weeks.min() <= first else first + pd.DateOffset(months=1)
    is_whole = weeks.max() + pd.Timedelta(days=6) >= last + pd.offsets.MonthEnd(0)
    last = last if is_whole else last - pd.DateOffset(months=1)
    earliest = max(first + pd.DateOffset(years=1), last - pd.DateOffset(months=MONTHS_OF_A_YEAR - 1))
    found = list(pd.date_range(earliest, last, freq="MS"))
    return found if len(found) >= FEWEST_MONTHS else []


def _counts(own: pd.DataFrame, last: Sequence[pd.Timestamp]) -> Counts:
    """Parcels in these months, and in the same months a year before."""
    before = [month - pd.DateOffset(years=1) for month in last]
    now, then = (int(own.loc[own["month"].isin(months), "parcel_count"].sum()) for months in (last, before))
    return now, then


def _dispersion(own: pd.DataFrame) -> float:
    """Variance of the parcels of a week over their mean, at least 1; the first and the last week may be cut short."""
    by_week = own.groupby(pd.to_datetime(own["shipped_week"]))["parcel_count"].sum()
    counts = by_week.asfreq("7D", fill_value=0).iloc[1:-1]
    if len(counts) < FEWEST_WEEKS or counts.mean() <= 0:
        return 1.0
    return max(1.0, float(counts.var(ddof=1) / counts.mean()))


def _row(item: str, months: int, counts: Counts, unknown: Counts, dispersion: float, level: float) -> dict[str, object]:
    now, before = counts
    low, _ = ratio_limits(now / dispersion, (before + unknown[1]) / dispersion, level)
    _, high = ratio_limits((now + unknown[0]) / dispersion, before / dispersion, level)
    is_proved = before > 0 and not low <= 1 <= high
    told = (item, months, now, before, now / before if before else None, low, high if np.isfinite(high) else None)
    return dict(zip(COLUMNS, (*told, is_proved), strict=True))


def ratio_limits(now: float, before: float, level: float) -> tuple[float, float]:
    """Limits of the ratio of two Poisson means of equal spans, by their counts, which may be parts of one."""
    tail = (1 - level) / 2
    low = float(betaincinv(now, before + 1, tail)) if now > 0 else 0.0
    high = float(betaincinv(now + 1, before, 1 - tail)) if before > 0 else 1.0
    return low / (1 - low), high / (1 - high) if high < 1 else np.inf


def ratios(growth: pd.DataFrame) -> dict[str, float]:
    """The ratio of each item type whose growth is proved."""
    counted = growth[growth["is_growth_proved"].astype(bool)]
    return dict(zip(counted["item_type"].astype(str), counted["growth_ratio"].astype(float), strict=True))
