"""What other services would damage more, by the one model of damage: it is taken off what they save."""

from __future__ import annotations

from typing import Any

import numpy as np
import pandas as pd

from models.analyses.damage_losses import READS as WORTHS
from models.analyses.damage_losses import DamageLosses, damage_losses
from models.analyses.damage_model import DamageModel, damage_model
from models.analyses.damage_records import CELL, damage_records
from models.analyses.damage_records import READS as RECORDS
from models.analyses.question import Question
from models.damage.arrays import BoolArray, floats
from models.rows import as_dicts

READS = (*RECORDS, *WORTHS)
# Of the ratio of both rates: were they the same, so low a limit would lie above one once in forty cases.
LOWER_LIMIT = 0.025


def more_damage(question: Question, rules: pd.DataFrame) -> list[int]:
    """For each rule, cents a parcel that the other service costs in more damage; 0 where the records do not prove any.

    rules: item_type, carrier, service, other_carrier, other_service. More is proved where the 95 percent interval of
    the ratio of both rates, on the parcels that went by the service used, lies above one. Of a carrier or service that
    has carried nothing yet no record tells.
    """
    records = damage_records(question).recent()
    if rules.empty or records.claims.empty:
        return [0] * len(rules)
    model, losses = damage_model(question, records), damage_losses(question, records)
    return [_of_rule(model, losses, rule) for rule in as_dicts(rules)]


def _of_rule(model: DamageModel, losses: DamageLosses, rule: dict[str, Any]) -> int:
    own = _parcels(model.cells, {name: rule[name] for name in ("item_type", "carrier", "service")})
    others = {name: rule[f"other_{name}"] for name in ("carrier", "service")}
    if not own.any() or not _parcels(model.cells, others).any():
        return 0
    before, after = model.as_if(own, {}), model.as_if(own, others)
    if np.quantile(after / before, LOWER_LIMIT) <= 1.0:
        return 0
    return round(float((after - before).mean()) * _loss(model.cells[own], losses))


def _parcels(cells: pd.DataFrame, levels: dict[str, Any]) -> BoolArray:
    found: BoolArray = np.logical_and.reduce([(cells[name] == level).to_numpy(bool) for name, level in levels.items()])
    return found


def _loss(cells: pd.DataFrame, losses: DamageLosses) -> float:
    """What one of these parcels costs where it is damaged, in cents."""
    net = pd.Series(losses.losses.net.mean(axis=0), pd.MultiIndex.from_frame(losses.cells[CELL]))
    each = net.reindex(pd.MultiIndex.from_frame(cells[CELL]))
    return float(np.average(floats(each), weights=floats(cells["parcel_count"])))
