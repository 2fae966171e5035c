"""What a damaged parcel costs, asked of the shop's records: both analyses that tell of it draw it from here.

The goods' worth is what was paid for them. Claims come from few parcels, worth is known of all: lost is a share of it.
A parcel without a sale on record counts as worth what its item type's parcels are, or else the shop's; where this is so
of some, item types may differ more.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd

from models.analyses.damage_records import CELL, DamageRecords
from models.analyses.question import Question
from models.damage.arrays import FloatArray, floats
from models.damage.losses import Claimed, Goods, Losses, is_open, lost_cents, pooled_losses

READS = ("goods_worths", "claimed_worths")


@dataclass(frozen=True)
class DamageLosses:
    """cells: item types and packing methods used, with `claims` on record. losses: of a damaged parcel of each row."""

    cells: pd.DataFrame
    losses: Losses

    def net(self, item_type: str, packing_method: str) -> FloatArray:
        """Draws of what a damaged parcel costs the shop in cents, shape (draws,)."""
        own = (self.cells["item_type"] == item_type) & (self.cells["packing_method"] == packing_method)
        return np.ascontiguousarray(self.losses.net[:, np.flatnonzero(own)[0]])


def damage_losses(question: Question, records: DamageRecords) -> DamageLosses:
    """The losses of these records; worked out for the first analysis that asks and kept for the other."""
    name = f"damage losses of {records.as_of.date()} since {records.cells['shipped_on'].min()}"
    return question.once(name, lambda: _found(question, records))


def _found(question: Question, records: DamageRecords) -> DamageLosses:
    cells = records.summed(CELL)[[*CELL, "claims"]]
    worths = _worths(question.table("goods_worths"), records)
    claims, known = _of_known_cost(records), question.table("claimed_worths").set_index("parcel_id")["worth_cents"]
    usual = floats(worths.reindex(cells["item_type"]).fillna(worths.mean() if len(worths) else np.nan))
    by_claims = float(lost_cents(claims, records.settings.handling_cents).clip(lower=1).mean()) if len(claims) else 1.0
    goods = Goods(
        pd.factorize(cells["item_type"])[0].astype(np.int64),
        pd.factorize(cells["packing_method"])[0].astype(np.int64),
        np.where(usual > 0, usual, by_claims),
        is_known=set(cells["item_type"]) <= set(worths.index),
    )
    at = pd.MultiIndex.from_frame(cells[CELL]).get_indexer(pd.MultiIndex.from_frame(claims[CELL])).astype(np.int64)
    own = floats(claims["parcel_id"].map(known))
    worth = np.where(own > 0, own, goods.worth[at])
    lost = floats(lost_cents(claims, records.settings.handling_cents)).clip(0.0)
    claimed = Claimed(at, lost, floats(claims["paid_cents"]), worth, ~is_open(claims))
    return DamageLosses(cells, pooled_losses(claimed, goods))


def _of_known_cost(records: DamageRecords) -> pd.DataFrame:
    """The claims that tell what they cost: one that is open and has cost nothing yet does not."""
    claims = records.claims
    return claims[(floats(lost_cents(claims)) > 0) | ~is_open(claims)]


def _worths(goods: pd.DataFrame, records: DamageRecords) -> pd.Series[float]:
    """Mean worth of a parcel's goods by item type, as far back as these records go."""
    first = records.cells["shipped_on"].min()  # unknown where no parcel is: no month is as late
    since = first if pd.isna(first) else first.to_period("M").start_time
    recent = goods[pd.to_datetime(goods["shipped_month"]) >= since]
    sums = recent.groupby("item_type")[["worth_cents", "parcel_count"]].sum()
    return pd.Series(floats(sums["worth_cents"]) / floats(sums["parcel_count"]), sums.index)
