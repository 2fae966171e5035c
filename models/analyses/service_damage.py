"""What other services would damage more, by the one model of damage: it is taken off what they save."""

from typing import Any

import numpy as np
import pandas as pd
from scipy.stats import binom

from models.analyses.damage_losses import READS as WORTHS
from models.analyses.damage_losses import DamageLosses, damage_losses
from models.analyses.damage_model import DamageModel, damage_model
from models.analyses.damage_records import CELL, damage_records
from models.analyses.damage_records import READS as RECORDS
from models.analyses.question import Question
from models.damage.arrays import BoolArray, floats
from models.plain_rows import as_dicts

READS = (*RECORDS, *WORTHS)
# Of the ratio of both rates: were they the same, so low a limit would lie above one once in forty cases.
LOWER_LIMIT = 0.025
WENT_BY = ("item_type", "carrier", "service")


def more_damage(question: Question, rules: pd.DataFrame) -> list[int]:
    """For each rule, cents a parcel that the other service costs in more damage; 0 where the records do not prove any.

    rules: item_type, carrier, service, other_carrier, other_service. More is proved where the 95 percent interval of
    the ratio of both rates, on the parcels that went by the service used, lies above one, unless the item type's own
    parcels by both speak against what all goods together show. Of a carrier or service that has carried nothing yet no
    record tells.
    """
    records = damage_records(question).recent()
    if rules.empty or records.claims.empty:
        return [0] * len(rules)
    model, losses = damage_model(question, records), damage_losses(question, records)
    return [_of_rule(model, records.claims, losses, rule) for rule in as_dicts(rules)]


def _of_rule(model: DamageModel, claims: pd.DataFrame, losses: DamageLosses, rule: dict[str, Any]) -> int:
    own = _parcels(model.cells, {name: rule[name] for name in WENT_BY})
    others = {name: rule[f"other_{name}"] for name in ("carrier", "service")}
    if not own.any() or not _parcels(model.cells, others).any():
        return 0
    before, after = model.as_if(own, {}), model.as_if(own, others)
    if np.quantile(after / before, LOWER_LIMIT) <= 1.0 or _is_contradicted(model, claims, rule):
        return 0
    return round(float((after - before).mean()) * _loss(model.cells[own], losses))


def _is_contradicted(model: DamageModel, claims: pd.DataFrame, rule: dict[str, Any]) -> bool:
    """Whether, of the item type's own claims by both services, so few by the other one were seldom chance, were its
    parcels damaged as the model has it: it knows no service that damages some goods more and others not."""
    levels = {name: rule[name] for name in WENT_BY}
    both = [levels, levels | {name: rule[f"other_{name}"] for name in ("carrier", "service")}]
    before, after = (int(_parcels(claims, each).sum()) for each in both)
    usual, more = (_expected(model, _parcels(model.cells, each)) for each in both)
    return more > 0 and bool(binom.cdf(after, before + after, more / (usual + more)) < LOWER_LIMIT)


def _expected(model: DamageModel, chosen: BoolArray) -> float:
    """Claims on record that the model expects of these parcels."""
    if not chosen.any():
        return 0.0
    return float(model.as_if(chosen, {}).mean() * np.mean([each[chosen].sum() for each in model.exposures]))


def _parcels(cells: pd.DataFrame, levels: dict[str, Any]) -> BoolArray:
    found: BoolArray = np.logical_and.reduce([(cells[name] == level).to_numpy(bool) for name, level in levels.items()])
    return found


def _loss(cells: pd.DataFrame, losses: DamageLosses) -> float:
    """What one of these parcels costs where it is damaged, in cents."""
    net = pd.Series(losses.losses.net.mean(axis=0), pd.MultiIndex.from_frame(losses.cells[CELL]))
    each = net.reindex(pd.MultiIndex.from_frame(cells[CELL]))
    return float(np.average(floats(each), weights=floats(cells["parcel_count"])))
