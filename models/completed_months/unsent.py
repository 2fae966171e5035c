"""Sales of which no parcel is on record: when they usually go out, what they bring and what they cost."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd

from models.completed_months.expected_amounts import NOTHING, Drawn, normal
from models.completed_months.invoice_delays import settled
from models.completed_months.usual import Spread, before, means, spread_of
from models.damage.arrays import FloatArray, floats

GAP = "sales without a parcel"
ITEM_TYPE = (("item_type",),)
# Parcels go out within so many days of the sale, or are something else than late.
LONGEST_DAYS = 60


@dataclass(frozen=True)
class Unsent:
    """sales: how many are expected to count in the month. parcels: by item type, in how many. income, carriage,
    packing: of these."""

    sales: float
    parcels: pd.Series[float]
    income: Drawn
    carriage: Drawn
    packing: Drawn


NONE = Unsent(0.0, pd.Series(dtype=float), NOTHING, NOTHING, NOTHING)


@dataclass(frozen=True)
class Sold:
    """sales: the query unsent_sales. delays: the query days_to_ship. gaps: marts.record_gaps. packed_until: the last
    day of the bench log; a parcel shipped by then would be in it."""

    sales: pd.DataFrame
    delays: pd.DataFrame
    gaps: pd.DataFrame
    packed_until: pd.Timestamp | None

    def in_month(self, month: pd.Timestamp, as_of: pd.Timestamp) -> FloatArray:
        """Of each row of sales, the share that is expected to go out in the month and not to be lost or given away."""
        days, shares = self._shipping_days()
        shipped = self.sales["sold_on"].to_numpy("datetime64[D]")[:, None] + days[None, :].astype("timedelta64[D]")
        first, after = (np.datetime64(each, "D") for each in (month, month + pd.DateOffset(months=1)))
        counts = (shipped >= first) & (shipped < after)
        if self.packed_until is not None:
            counts &= shipped > np.datetime64(self.packed_until, "D")
        return np.asarray((counts * shares).sum(axis=1)) * self._share_due(as_of)

    def _shipping_days(self) -> tuple[FloatArray, FloatArray]:
        rows = self.delays[self.delays["days_to_ship"].between(0, LONGEST_DAYS)]
        counts = floats(rows["sale_count"])
        if counts.sum() == 0:
            return np.zeros(1), np.ones(1)
        return floats(rows["days_to_ship"]), counts / counts.sum()

    def _share_due(self, as_of: pd.Timestamp) -> FloatArray:
        """The share of each row that is more than usually never gets a parcel, by its month of sale."""
        gaps = self.gaps[self.gaps["gap"] == GAP].assign(
            shipped_month=lambda rows: pd.to_datetime(rows["shipped_month"])
        )
        missing = gaps["missing_count"].astype(float) / gaps["due_count"].astype(float)
        never = float(missing.loc[settled(gaps, as_of).index].median()) if len(gaps) else 0.0
        due = (1.0 - never / missing.where(missing > 0)).clip(0.0, 1.0).fillna(0.0)
        by_month = pd.Series(due.to_numpy(float), index=gaps["shipped_month"])
        return floats(self.sales["sold_on"].dt.to_period("M").dt.start_time.map(by_month))

    @property
    def parcels_per_sale(self) -> float:
        """How many parcels a sale usually fills."""
        sales = float(self.delays["sale_count"].sum())
        return float(self.delays["parcel_count"].sum()) / sales if sales else 1.0


def unsent(
    sold: Sold, cells: pd.DataFrame, month: pd.Timestamp, as_of: pd.Timestamp, rng: np.random.Generator
) -> Unsent:
    """What the sales without a parcel that usually go out in the month bring and cost. cells: marts.carriage_cells."""
    if sold.sales.empty or not cells["charged_count"].sum():
        return NONE
    counts = floats(sold.sales["sale_count"])
    share = sold.in_month(month, as_of)
    sales = counts * share
    if sales.sum() < 0.5:
        return NONE
    known = before(cells, month)
    parcels = sales * sold.parcels_per_sale
    carriage = means(known, sold.sales, "billed_cents", "charged_count", ITEM_TYPE)
    packing = means(known, sold.sales, "all_packing_cents", "parcel_count", ITEM_TYPE)
    each = floats(sold.sales["income_cents"]) / np.maximum(counts, 1.0)
    # Each sale goes out in this month or in another: its carriage and its income come together.
    by_chance = share.clip(0.0, 1.0) * (1.0 - share.clip(0.0, 1.0)) * counts
    spread = _by_item_type(known)
    mean, total = float((parcels * carriage).sum()), float(parcels.sum())
    variance = spread.variance(mean, total, float(known["charged_count"].sum()))
    variance += float((by_chance * (carriage - each) ** 2).sum())
    return Unsent(
        float(sales.sum()),
        pd.Series(parcels).groupby(sold.sales["item_type"].to_numpy()).sum(),
        normal(float((sales * each).sum()), 0.0, rng),
        normal(mean, variance, rng),
        normal(float((parcels * packing).sum()), 0.0, rng),
    )


def _by_item_type(known: pd.DataFrame) -> Spread:
    """The spread within item types, all services and zones together."""
    return spread_of(known.assign(carrier="any", service="any", zone="any"))
