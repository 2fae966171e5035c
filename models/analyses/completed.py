"""Every month completed: its margin with bills, parcels, claims and payments that are still to come."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import pandas as pd

from models.analyses.damage_model import damage_model
from models.analyses.damage_records import damage_records, settings_of
from models.analyses.question import Question, answer
from models.completed_months.claims import NOBODY, Claims, Forecast, claims_known, recovery
from models.completed_months.expected_amounts import NOTHING, Drawn, known
from models.completed_months.unbilled import Unbilled, later_charges, unbilled
from models.completed_months.unsent import Sold, Unsent, unsent
from models.damage.arrays import IntArray

READS = (
    *("marts.shipping_margin", "marts.carriage_cells", "marts.invoice_delays", "marts.record_gaps"),
    *("marts.record_states", "marts.exposure_cells", "marts.claim_losses"),
    *("unsent_sales", "days_to_ship", "claims_record"),
)
WRITES = ("analysis.completed_months",)
# Less than this share of what was billed may be missing of a month that counts as complete.
NEGLIGIBLE = 0.005
# A month is not completed when nobody knows what more than this share of its parcels cost (common practice, no source).
MOST_UNPRICED = 0.05
# Draws are the same in every build.
SEED = 20_261


@dataclass(frozen=True)
class Month:
    """One month: its row of marts.shipping_margin, and what is to come of each kind; damage None where not known.

    may_be_claimed: whether claims of the month may still come. Where nothing tells how many, no limits are stated.
    """

    row: pd.Series[float]
    unbilled: Unbilled
    later: Drawn
    unsent: Unsent
    damage: Drawn | None
    recovery: Drawn
    may_be_claimed: bool

    @property
    def is_damage_open(self) -> bool:
        """Whether claims may still come of which nothing tells how many."""
        return self.damage is None and self.may_be_claimed

    @property
    def carriage(self) -> Drawn:
        """All carriage still to be billed."""
        return self.unbilled.to_come + self.later + self.unsent.carriage

    @property
    def completed(self) -> Drawn:
        """The margin with all that is to come."""
        so_far = known(float(self.row["margin_cents"]))
        costs = self.carriage + self.unsent.packing + (self.damage or NOTHING)
        return so_far + self.unsent.income + self.recovery - costs

    @property
    def is_carriage_open(self) -> bool:
        """Whether so many parcels cost nobody knows what that the month cannot be completed."""
        return self.unbilled.unpriced > MOST_UNPRICED * float(self.row["parcel_count"])

    @property
    def are_limits_open(self) -> bool:
        """Whether the completed margin has no limits: of damage, or of what some parcels cost, nothing tells."""
        return self.is_damage_open or self.unbilled.unpriced > 0

    def cells(self) -> dict[str, object]:
        """Columns of analysis.completed_months but for the change."""
        billed, to_come = int(self.row["billed_cents"]), self.carriage.mean
        borne = billed + int(self.row["tax_reclaimed_cents"])
        low, high = self.carriage.limits()
        lost = (None, None) if self.damage is None else self.damage.limits()
        least, most = (None, None) if self.are_limits_open else self.completed.limits()
        return {
            "shipped_month": self.row.name,
            "parcel_count": int(self.row["parcel_count"]),
            "margin_cents": int(self.row["margin_cents"]),
            "billed_cents": billed,
            "unbilled_count": self.unbilled.parcels,
            "unpriced_count": self.unbilled.unpriced,
            "sales_to_ship_count": round(self.unsent.sales),
            "income_to_come_cents": self.unsent.income.mean,
            "carriage_to_come_cents": to_come,
            "carriage_to_come_low_cents": low,
            "carriage_to_come_high_cents": high,
            "packing_to_come_cents": self.unsent.packing.mean,
            "damage_to_come_cents": None if self.damage is None else self.damage.mean,
            "damage_to_come_low_cents": lost[0],
            "damage_to_come_high_cents": lost[1],
            "recovery_to_come_cents": self.recovery.mean,
            "completed_margin_cents": None if self.is_carriage_open else self.completed.mean,
            "completed_per_parcel_cents": self._per_parcel(),
            "completed_low_cents": least,
            "completed_high_cents": most,
            "billed_part": None if self.unbilled.unpriced else _part(borne, max(to_come, 0)),
            "is_completed": self._is_completed(billed),
        }

    def _per_parcel(self) -> int | None:
        parcels = int(self.row["parcel_count"]) + round(self.unsent.sales)
        return round(self.completed.mean / parcels) if parcels and not self.is_carriage_open else None

    def _is_completed(self, billed: int) -> bool | None:
        """Whether nothing is expected to come any more; None where of damage alone nothing tells."""
        to_come = (self.carriage, self.damage or NOTHING, self.recovery, self.unsent.income)
        is_little = sum(abs(each.mean) for each in to_come) <= NEGLIGIBLE * abs(billed)
        is_rest_known = is_little and not self.unbilled.unpriced
        return None if is_rest_known and self.is_damage_open else is_rest_known


def _part(done: int, to_come: int) -> float | None:
    """The share of the whole that is done; None where there is none to share."""
    return done / (done + to_come) if done > 0 else 0.0 if to_come else None


def compute(question: Question) -> dict[str, pd.DataFrame]:
    """analysis.completed_months."""
    months = list(_months(question))
    changes = (_change(*pair) for pair in zip([None, *months], months, strict=False))
    rows = [
        month.cells() | dict(zip(_CHANGE, change, strict=True)) for month, change in zip(months, changes, strict=True)
    ]
    nullable = dict.fromkeys([*_CHANGE, *_DAMAGE, *_COMPLETED], "Int64") | {"is_completed": "boolean"}
    return {WRITES[0]: answer(WRITES[0], rows).astype(nullable)}


_CHANGE = ("completed_change_cents", "change_low_cents", "change_high_cents")
_COMPLETED = ("completed_margin_cents", "completed_per_parcel_cents", "completed_low_cents", "completed_high_cents")
_DAMAGE = ("damage_to_come_cents", "damage_to_come_low_cents", "damage_to_come_high_cents")


def _change(before: Month | None, now: Month) -> tuple[int | None, ...]:
    """The change against the month before, both completed, where both have parcels and can be completed."""
    if before is None or not before.row["parcel_count"] or not now.row["parcel_count"]:
        return (None, None, None)
    if before.is_carriage_open or now.is_carriage_open:
        return (None, None, None)
    change = now.completed - before.completed
    is_open = before.are_limits_open or now.are_limits_open
    return (change.mean, *((None, None) if is_open else change.limits()))


def _months(question: Question) -> Iterator[Month]:
    as_of = _last_day(question)
    cells = _dated(question.table("marts.carriage_cells"), "shipped_month")
    delays = _dated(question.table("marts.invoice_delays"), "shipped_month")
    losses = _dated(question.table("marts.claim_losses"), "shipped_on", "opened_on")
    exposure = _dated(question.table("marts.exposure_cells"), "shipped_on")
    sold, window = _sold(question), settings_of(question).window_days
    claims = claims_known(losses, exposure, as_of, window, _forecast(question), _short_days(question))
    margins = _dated(question.table("marts.shipping_margin"), "shipped_month").set_index("shipped_month").sort_index()
    last_claimed = as_of - pd.Timedelta(days=window)
    for first in pd.DatetimeIndex(margins.index):
        row = margins.loc[[first]].iloc[0]
        rng = np.random.default_rng([SEED, first.year, first.month])
        to_ship = unsent(sold, cells, first, as_of, rng)
        yield Month(
            row,
            unbilled(cells, first, as_of, rng),
            later_charges(cells, delays, first, as_of, rng),
            to_ship,
            _damage(claims, first, to_ship, rng),
            recovery(losses, first, as_of, rng),
            may_be_claimed=len(losses) > 0 and first + pd.offsets.MonthEnd(0) > last_claimed,
        )


def _forecast(question: Question) -> Forecast:
    """What the model of damage, which rates and decisions are drawn from, expects still to come."""
    records = damage_records(question).recent()
    if records.cells.empty:
        return NOBODY
    return Forecast(*damage_model(question, records).to_come(), records.settings.causes)


def _short_days(question: Question) -> IntArray:
    """Days by which the record of claims may end before the others."""
    return damage_records(question).end.short_days(question.as_of)


def _damage(claims: Claims | None, month: pd.Timestamp, to_ship: Unsent, rng: np.random.Generator) -> Drawn | None:
    return None if claims is None else claims.to_come(month, to_ship.parcels, rng)


def _last_day(question: Question) -> pd.Timestamp:
    """The last day that the records know, of sales too: where invoices are late, sales say what day it is."""
    known, sold = pd.Timestamp(question.as_of), _last_record(question, "sales")
    return known if sold is None else max(known, sold)


def _last_record(question: Question, kind: str) -> pd.Timestamp | None:
    states = question.table("marts.record_states")
    found = pd.to_datetime(states["last_on"][states["kind"] == kind]).dropna()
    return None if found.empty else pd.Timestamp(found.iloc[0])


def _sold(question: Question) -> Sold:
    return Sold(
        _dated(question.table("unsent_sales"), "sold_on"),
        question.table("days_to_ship"),
        _dated(question.table("marts.record_gaps"), "shipped_month").reset_index(drop=True),
        _last_record(question, "weights"),
    )


def _dated(rows: pd.DataFrame, *columns: str) -> pd.DataFrame:
    return rows.assign(**{name: pd.to_datetime(rows[name]) for name in columns})
