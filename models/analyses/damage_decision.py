"""Which packing method pays for each item type: material, minutes, carton, postage and expected damage.

Methods are compared that were used on at least `min_parcels` parcels of the item type, or are in use now: below that
the damage rate is mostly the item type's own and says little of the method. Every method is rated on the same
parcels; what a damaged one costs with each comes from the one model of losses (models/damage/losses.py).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd

from models.analyses.damage_losses import READS as WORTHS
from models.analyses.damage_losses import DamageLosses, damage_losses
from models.analyses.damage_model import DamageModel, damage_model
from models.analyses.damage_records import CELL, DamageRecords, damage_records, named
from models.analyses.damage_records import READS as RECORDS
from models.analyses.question import Question, answer
from models.analyses.repacking import carriage_cents
from models.damage.arrays import FloatArray, floats
from models.damage.decision import MethodCase, PackingDecision, decide
from models.settings.damage import Damage

READS = (*RECORDS, *WORTHS, "packing_costs", "analysis.method_carriage")
WRITES = ("analysis.packing_decision",)
CURRENT_DAYS, YEAR_DAYS = 90, 365
# What fewer days of a record show is taken to be a month's volume: a few days say nothing of a year.
LEAST_DAYS = 28
# Fewer parcels than these, rated under every method, say nothing of the difference.
LEAST_RATED = 5


@dataclass(frozen=True)
class _Shop:
    """What all item types share. used: every item type and method used. volume_days: days from which a year's volume
    is known."""

    settings: Damage
    wage_cents_per_hour: float
    costs: pd.DataFrame
    used: pd.DataFrame
    model: DamageModel
    carriage: pd.DataFrame
    losses: DamageLosses
    recent: pd.DataFrame
    last_shipped_on: pd.Timestamp
    volume_days: int


def compute(question: Question) -> dict[str, pd.DataFrame]:
    """analysis.packing_decision: one row per item type and packing method compared."""
    records = damage_records(question).recent()
    costs = question.table("packing_costs").set_index("packing_method")
    rows: list[pd.DataFrame] = []
    if len(costs) and len(records.cells):
        shop = _shop(question, records, costs)
        found = (_item_type(item_type, shop) for item_type in sorted(shop.used["item_type"].unique()))
        rows = [each for each in found if each is not None]
    return {WRITES[0]: answer(WRITES[0], pd.concat(rows, ignore_index=True) if rows else ())}


def _shop(question: Question, records: DamageRecords, costs: pd.DataFrame) -> _Shop:
    return _Shop(
        records.settings,
        float(costs["wage_cents_per_hour"].iloc[0]),
        costs,
        named(records.summed(CELL)),
        damage_model(question, records),
        question.table("analysis.method_carriage"),
        damage_losses(question, records),
        records.cells,
        records.last_shipped_on,
        min((records.last_shipped_on - records.cells["shipped_on"].min()).days + 1, YEAR_DAYS),
    )


def _item_type(item_type: str, shop: _Shop) -> pd.DataFrame | None:
    """The rows of one item type; None where nothing was sent in the last year or no method in use has a cost."""
    used = shop.used[(shop.used["item_type"] == item_type) & shop.used["packing_method"].isin(shop.costs.index)]
    sent = _yearly(item_type, shop)
    current = _current(item_type, shop)
    if sent == 0 or current not in set(used["packing_method"]):
        return None
    enough = (used["parcel_count"] >= shop.settings.min_parcels) | (used["packing_method"] == current)
    kept = used[enough].sort_values("packing_method", ignore_index=True)
    carriage = _carriage(item_type, list(kept["packing_method"]), shop)
    kept = kept[kept["packing_method"].isin(carriage.columns)]
    rates = shop.model.of_item_type(item_type, list(kept["packing_method"]))
    cases = [_case(row, carriage, rates[:, at], shop) for at, row in enumerate(kept.to_dict("records"))]
    decision = decide(
        cases,
        current=current,
        wage_cents_per_hour=shop.wage_cents_per_hour,
        parcels_per_year=float(sent),
        chance_needed=shop.settings.chance_needed,
    )
    return _rows(item_type, decision, kept, carriage, sent).assign(volume_days=shop.volume_days)


def _yearly(item_type: str, shop: _Shop) -> int:
    """Parcels a year, at the volume of the last year or of the record where it is shorter."""
    sent = int(_by_method(item_type, shop, YEAR_DAYS).sum())
    return round(sent * YEAR_DAYS / max(shop.volume_days, LEAST_DAYS))


def _by_method(item_type: str, shop: _Shop, days: int) -> pd.Series[Any]:
    since = shop.last_shipped_on - pd.Timedelta(days=days)
    cells = shop.recent[(shop.recent["item_type"] == item_type) & (shop.recent["shipped_on"] > since)]
    return named(cells).groupby("packing_method")["parcel_count"].sum()


def _current(item_type: str, shop: _Shop) -> str:
    """The method of most parcels in the last 90 days, or the last year where nothing was sent in these."""
    for days in (CURRENT_DAYS, YEAR_DAYS):
        counts = _by_method(item_type, shop, days)
        if len(counts):
            return str(counts.idxmax())
    return ""


def _carriage(item_type: str, methods: Sequence[str], shop: _Shop) -> pd.DataFrame:
    """Carriage in cents: sampled parcels x methods, the same parcels for every method.

    Where not every method can be rated on parcels enough, two parcels that cost nothing stand for the sample, so that
    methods differ by nothing.
    """
    rated = shop.carriage[(shop.carriage["item_type"] == item_type) & shop.carriage["packing_method"].isin(methods)]
    wide = rated.assign(cents=carriage_cents(rated)).pivot(index="parcel_id", columns="packing_method", values="cents")
    if len(wide):
        wide = wide.loc[:, wide.notna().mean() >= 0.5].dropna()
    if len(wide) < LEAST_RATED or wide.shape[1] < len(methods):
        return pd.DataFrame(0.0, index=pd.RangeIndex(2), columns=list(methods))
    return wide.astype(float)


def _case(row: dict[Any, Any], carriage: pd.DataFrame, rates: FloatArray, shop: _Shop) -> MethodCase:
    cost = shop.costs.loc[row["packing_method"]]
    return MethodCase(
        packing_method=row["packing_method"],
        material_cents=float(cost["material_cents"]),
        pack_minutes=float(cost["pack_minutes"]),
        carriage_cents=carriage[row["packing_method"]].to_numpy(float),
        damage_rates=rates,
        severity_cents=shop.losses.net(row["item_type"], row["packing_method"]),
    )


def _verdict(decision: PackingDecision, more_damaged: int) -> str:
    """What follows. A method that breaks more is never advised, however much it saves: that is for the shop to choose,
    since reviews, hours and later refusals are in no record."""
    found = _by_money(decision)
    return "choice" if found in ("use", "wait") and more_damaged > 0 else found


def _by_money(decision: PackingDecision) -> str:
    if len(decision.methods) == 1:
        return "one method"
    if decision.best == decision.current:
        return "keep"
    if decision.is_recommended:
        return "use"
    return "too close" if decision.wait_parcels is None else "wait"


def _more_damaged(decision: PackingDecision, sent: int) -> int:
    """Parcels a year that the best method would break beyond the current one, away from zero."""
    rates = decision.methods.set_index("packing_method")["damage_rate"]
    more = sent * float(rates[decision.best] - rates[decision.current])
    return math.ceil(more) if more > 0 else math.floor(more)


def _rows(
    item_type: str, decision: PackingDecision, used: pd.DataFrame, carriage: pd.DataFrame, sent: int
) -> pd.DataFrame:
    methods = decision.methods
    is_rated = carriage.index.dtype != np.int64
    whole = {name: _whole(methods[column]) for name, column in _CENTS.items()}
    change = methods["carriage_cents"] - float(
        methods.loc[methods["packing_method"] == decision.current, "carriage_cents"].iloc[0]
    )
    best, more = methods.iloc[0], _more_damaged(decision, sent)
    return methods[["packing_method", "break_even_rate"]].assign(
        same_parcels_rate=methods["damage_rate"],
        item_type=item_type,
        method_parcel_count=methods["packing_method"].map(used.set_index("packing_method")["parcel_count"]),
        is_current=methods["packing_method"] == decision.current,
        is_best=methods["packing_method"] == decision.best,
        carriage_change_cents=_whole(change),
        cheapest_chance=methods["chance_cheapest"],
        current_method=decision.current,
        best_method=decision.best,
        best_chance=decision.chance,
        best_gain_cents=round(decision.gain_cents),
        best_gain_low_cents=round(best["yearly_gain_low"]),
        best_gain_high_cents=round(best["yearly_gain_high"]),
        wait_parcels=_maybe(decision.wait_parcels, len(methods)),
        trial_parcels=_maybe(decision.trial_parcels, len(methods)),
        information_cents=max(round(decision.perfect_information_cents), 0),
        yearly_parcel_count=sent,
        sampled_parcel_count=len(carriage) if is_rated else 0,
        packing_verdict=_verdict(decision, more),
        more_damaged_count=more,
        is_carriage_rated=is_rated,
        **whole,
    )


_CENTS = {
    "packing_cents": "packing_cents",
    "method_carriage_cents": "carriage_cents",
    "expected_damage_cents": "damage_cents",
    "total_cents": "total_cents",
    "total_low_cents": "total_low",
    "total_high_cents": "total_high",
    "yearly_gain_cents": "yearly_gain_cents",
    "gain_low_cents": "yearly_gain_low",
    "gain_high_cents": "yearly_gain_high",
}


def _maybe(value: int | None, rows: int) -> Any:
    return pd.array([pd.NA if value is None else value] * rows, dtype="Int64")


def _whole(values: Any) -> Any:
    return np.rint(floats(values)).astype(np.int64)
