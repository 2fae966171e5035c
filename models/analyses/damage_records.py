"""What every analysis of damage begins with: parcels at risk, claims that count, the reporting-lag curve.

A claim counts where its cause is one that packing answers for and it came within the claim window; a parcel counts
once, by its first such claim. Parcels at risk are corrected for claims still to come, and for those that a record of
claims may lack which ends before the others do.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import partial

import numpy as np
import pandas as pd

from models.analyses.question import Question
from models.damage.arrays import IntArray, at_least_the_claims, floats
from models.damage.claims_end import ClaimsEnd, claims_end
from models.damage.reporting_lags import DRAWS, LagCurve, reporting_lags
from models.settings.damage import Damage

READS = ("marts.exposure_cells", "marts.claim_losses", "claims_record")
CELL = ["item_type", "packing_method"]
UNKNOWN = "unknown"


@dataclass(frozen=True)
class DamageRecords:
    """cells: rows of marts.exposure_cells with `exposure`. claims: the claims that count, one per parcel.
    curve: share of claims on record by age. end: how far claims are on record. last_shipped_on: last day of shipping.
    """

    settings: Damage
    as_of: pd.Timestamp
    cells: pd.DataFrame
    claims: pd.DataFrame
    curve: LagCurve
    end: ClaimsEnd

    @property
    def claims_to(self) -> pd.Timestamp:
        """Last day whose claims are on record, as far as can be told."""
        return min(self.as_of, pd.Timestamp(self.end.middle_on))

    @property
    def last_shipped_on(self) -> pd.Timestamp:
        """Last day of shipping; the last day of the records where nothing was shipped."""
        return self.as_of if self.cells.empty else self.cells["shipped_on"].max()

    def since(self, day: pd.Timestamp) -> DamageRecords:
        """The same, of parcels shipped on that day or later."""
        cells, claims = (rows[rows["shipped_on"] >= day] for rows in (self.cells, self.claims))
        return replace(self, cells=cells, claims=claims)

    def between(self, first_on: pd.Timestamp, before: pd.Timestamp) -> DamageRecords:
        """The same, of parcels shipped from one day to the day before another."""
        cells, claims = (
            rows[(rows["shipped_on"] >= first_on) & (rows["shipped_on"] < before)] for rows in (self.cells, self.claims)
        )
        return replace(self, cells=cells, claims=claims)

    def recent(self) -> DamageRecords:
        """The same, as far back as rates look."""
        return self.since(self.last_shipped_on - pd.DateOffset(months=self.settings.months))

    def summed(self, by: Sequence[str]) -> pd.DataFrame:
        """Parcels, exposure (never below the claims) and claims by the named columns: by, parcel_count, exposure,
        claims. In the order of `by`."""
        names = list(by)
        parcels = self.cells.groupby(names)[["parcel_count", "exposure"]].sum()
        rows = parcels.assign(claims=self.claims.groupby(names).size().reindex(parcels.index, fill_value=0))
        rows["claims"] = floats(rows["claims"])
        rows["exposure"] = at_least_the_claims(floats(rows["claims"]), floats(rows["exposure"]))
        return rows.reset_index()


def damage_records(question: Question) -> DamageRecords:
    """The records as they are known on the last day that they know."""
    return records_known_on(question, [question.as_of])[0]


def records_known_on(question: Question, on: Sequence[date]) -> list[DamageRecords]:
    """The records as they were known on each of the days; what was worked out for one analysis stays for the next."""
    settings = settings_of(question)
    cells = question.once("dated cells", lambda: _dated(question.table("marts.exposure_cells")))
    claims = question.once("caused claims", lambda: _caused(question.table("marts.claim_losses"), settings))
    end = question.once("claims end", lambda: _end(question, cells, settings))
    return [
        question.once(f"damage records of {each}", partial(_known_on, pd.Timestamp(each), cells, claims, end, settings))
        for each in on
    ]


def _end(question: Question, cells: pd.DataFrame, settings: Damage) -> ClaimsEnd:
    """How far claims are on record, whatever their cause."""
    record = question.found("claims_record")
    known = {} if record is None or record.empty else record.iloc[0].dropna().to_dict()
    losses = question.table("marts.claim_losses")
    reported = pd.to_datetime(losses["opened_on"])
    if "reported_on" in known:
        reported = pd.concat([reported, pd.Series([pd.Timestamp(known["reported_on"])])])
    return claims_end(
        reported,
        losses["reporting_lag_days"].to_numpy(np.int64),
        cells["shipped_on"],
        floats(cells["parcel_count"]),
        question.as_of,
        draws=DRAWS,
        imported_on=known.get("imported_on"),
        stated_on=settings.claims_to,
    )


def _dated(cells: pd.DataFrame) -> pd.DataFrame:
    return cells.assign(shipped_on=pd.to_datetime(cells["shipped_on"]))


def _known_on(
    today: pd.Timestamp, dated: pd.DataFrame, caused: pd.DataFrame, end: ClaimsEnd, settings: Damage
) -> DamageRecords:
    cells, claims = dated[dated["shipped_on"] <= today], caused[caused["opened_on"] <= today]
    window_days = _window(cells, min(today, pd.Timestamp(end.middle_on)), settings)
    curve = reporting_lags(
        claims["shipped_on"],
        claims["opened_on"],
        today,
        window_days=window_days,
        min_claims=settings.min_claims,
        short_days=end.short_days(today),
    )
    lags = claims["reporting_lag_days"]
    share = curve.share_reported(ages(cells, today))
    return DamageRecords(
        settings,
        today,
        cells.assign(exposure=floats(cells["parcel_count"]) * share),
        claims[(lags >= 0) & (lags <= window_days)],
        curve,
        end,
    )


def by_month(rows: pd.DataFrame) -> pd.DataFrame:
    """The rows with the month of shipping, its first day."""
    return rows.assign(shipped_month=rows["shipped_on"].dt.to_period("M").dt.start_time)


def _window(cells: pd.DataFrame, today: pd.Timestamp, settings: Damage) -> int:
    """Ages up to which claims are counted: no more than the oldest parcel has on the last day whose claims are on
    record. What comes later nobody has seen."""
    if cells.empty:
        return settings.window_days
    return min(settings.window_days, max(int((today - cells["shipped_on"].min()).days), 1))


def settings_of(question: Question) -> Damage:
    """The shop's section [damage], or its defaults."""
    return Damage(**question.options.get("damage", {}))


def ages(cells: pd.DataFrame, today: pd.Timestamp) -> IntArray:
    """Age of each cell's parcels in days."""
    return np.asarray((today - cells["shipped_on"]).dt.days, dtype=np.int64)


def named(rows: pd.DataFrame) -> pd.DataFrame:
    """The rows whose item type and packing method are known."""
    return rows[(rows["item_type"] != UNKNOWN) & (rows["packing_method"] != UNKNOWN)]


def _caused(losses: pd.DataFrame, settings: Damage) -> pd.DataFrame:
    """The first claim of each parcel for a cause that counts. First by day of report: so it is on any earlier day."""
    days = {name: pd.to_datetime(losses[name]) for name in ("shipped_on", "opened_on")}
    rows = losses.assign(**days)
    kept = rows[rows["claim_cause"].isin(settings.causes)]
    in_order = kept if _is_in_order(kept) else kept.sort_values(["opened_on", "claim_id"], kind="stable")
    return in_order.drop_duplicates("parcel_id", ignore_index=True)


def _is_in_order(claims: pd.DataFrame) -> bool:
    """Whether they come by day of report and claim, as the engine gives them: to sort large tables takes longer."""
    (day, next_day), (claim, next_claim) = (
        (claims[name].iloc[:-1].reset_index(drop=True), claims[name].iloc[1:].reset_index(drop=True))
        for name in ("opened_on", "claim_id")
    )
    return bool(((day < next_day) | ((day == next_day) & (claim <= next_claim))).all())
