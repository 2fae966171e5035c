"""How far the record of claims reaches. Claims that come in files end before the parcels do: what buyers reported after
the last file is not known, and a parcel is at risk on record no longer than to that end.

The newest report proves that the record reaches so far, and a record that ends before the others do no farther than
the import of its last file. In between, days without a report tell. Reports are thought to come as the parcels shipped
and the delays on record lead one to expect: with n spans from report to report while H are due, but for a constant, the
chance that none comes while G more are is (H / (H + G)) ** n (a Poisson process whose rate has a gamma law; K. S.
Lomax, "Business failures: another example of the analysis of failure data", Journal of the American Statistical
Association 49 (1954), 847-852). Where chance seldom explains the days without a report, or nothing was imported since,
the end may lie on any of them, as likely as none was due until then. An import alone does not tell: a file that is the
same as before is not imported again.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy.signal import fftconvolve

from models.columns.damage import CLAIMS_ENDS
from models.damage.arrays import Dates, FloatArray, IntArray, days

# A gap that chance makes as long in more cases than these is no question.
RARE = 0.2
# How likely a record is to be whole before its gap is seen; and where no claims were imported in the gap, since the
# file may have been the same as before. Common practice, no source.
USUALLY_WHOLE, WHOLE_SINCE_IMPORT = 0.9, 0.7
# Longest time until a report, and days of reports that are looked at.
LONGEST_DAYS, LEARNED_DAYS = 120, 365
SEED = 20_262
WHOLE, STATED, IMPORTED, NEWEST = CLAIMS_ENDS
DateArray = npt.NDArray[np.datetime64]


@dataclass(frozen=True)
class ClaimsEnd:
    """The last day whose reports are on record.

    on: draws of it, each as likely, shape (draws,). reported_on: the newest report; not a date where there is none.
    source: what tells, one of CLAIMS_ENDS.
    """

    on: DateArray
    reported_on: np.datetime64
    source: str

    @property
    def middle_on(self) -> np.datetime64:
        """The middle one of the draws."""
        return np.datetime64(np.sort(self.on)[self.on.size // 2])

    def short_days(self, as_of: object) -> IntArray:
        """Days by which the record of claims ends before that day, by every draw; none where it does not."""
        return np.asarray((days([as_of])[0] - self.on).astype(np.int64).clip(0))


def claims_end(
    reported_on: Dates,
    lags: IntArray,
    shipped_on: Dates,
    parcels: FloatArray,
    as_of: object,
    *,
    draws: int,
    imported_on: object = None,
    stated_on: object = None,
) -> ClaimsEnd:
    """How far claims are on record, of records that are known up to the day `as_of`.

    reported_on: days of report, in any order, of any claims. lags: days that reports took. shipped_on, parcels: days of
    shipping and parcels of each, in any order. imported_on: day on which claims were imported last. stated_on: day
    up to which the shop says that they are on record. Either counts for nothing where claims were reported later.
    """
    today, reports = days([as_of])[0], np.unique(days(reported_on))
    reports = reports[reports <= today]
    newest = reports[-1] if reports.size else np.datetime64("NaT", "D")
    stated, imported = (_after(day, newest) for day in (stated_on, imported_on))
    if stated is not None:
        return ClaimsEnd(np.full(draws, min(stated, today)), newest, STATED if stated < today else WHOLE)
    if reports.size == 0:
        return ClaimsEnd(np.full(draws, today), newest, WHOLE)
    latest = today if imported is None else min(imported, today)
    silent = chance_of_silence(reports, _due(days(shipped_on), parcels, lags, reports[0], today))
    if latest == today and silent[-1] >= RARE:
        return ClaimsEnd(np.full(draws, today), newest, WHOLE)
    may_end = int((latest - newest).astype(np.int64)) + 1
    if latest == today:
        return ClaimsEnd(_drawn(newest, silent, may_end, draws, USUALLY_WHOLE), newest, NEWEST)
    return ClaimsEnd(_drawn(newest, silent, may_end, draws, WHOLE_SINCE_IMPORT), newest, IMPORTED)


def _after(day: object, newest: np.datetime64) -> np.datetime64 | None:
    found = days([day])[0] if day is not None else np.datetime64("NaT", "D")
    return None if np.isnat(found) or found < newest else found


def _due(
    shipped: DateArray, parcels: FloatArray, lags: IntArray, first: np.datetime64, last: np.datetime64
) -> FloatArray:
    """Reports due on each day from the first to the last, but for a constant: parcels shipped so many days before as
    reports of the record took. Shape (days,)."""
    begin = first - LONGEST_DAYS
    size = int((last - begin).astype(np.int64)) + 1
    at = (shipped - begin).astype(np.int64)
    inside = (at >= 0) & (at < size)
    sent = np.bincount(at[inside], parcels[inside], minlength=size).astype(float)
    taken = np.bincount(lags[(lags >= 0) & (lags <= LONGEST_DAYS)], minlength=1).astype(float)
    return np.asarray(fftconvolve(sent, taken)[LONGEST_DAYS:size].clip(0.0))


def chance_of_silence(reports: DateArray, due: FloatArray) -> FloatArray:
    """Chance that no report comes until each day from the newest report on, to the last day of `due`."""
    newest = int((reports[-1] - reports[0]).astype(np.int64))
    since = max(newest - LEARNED_DAYS, 0)
    spans = int((reports >= reports[0] + since).sum()) - 1
    before, after = float(due[since : newest + 1].sum()), np.append(0.0, np.cumsum(due[newest + 1 :]))
    if before <= 0 or spans < 1:
        return np.ones(after.size)
    return np.asarray((before / (before + after)) ** spans)


def _drawn(newest: np.datetime64, silent: FloatArray, may_end: int, draws: int, whole: float) -> DateArray:
    """Draws of the end: one of the first `may_end` days from the newest report on, or the last of all, where the record
    is whole, of which the chance is `whole` beforehand; each then as likely as no report was due until it."""
    chance = np.zeros(silent.size)
    chance[:may_end] = (1.0 - whole) / may_end * silent[:may_end]
    chance[-1] += whole * silent[-1]
    after = np.random.default_rng(SEED).choice(chance.size, draws, p=chance / chance.sum())
    return np.asarray(newest + after.astype("timedelta64[D]"))
