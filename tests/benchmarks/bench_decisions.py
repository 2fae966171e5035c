"""Whether advice on packing keeps its word on shops that nobody planted: `python -m tests.benchmarks decisions`.

Advice is "nearly sure" as the list of actions says it; the saving is the true one, of the generator's own rates, losses
and payments (tests/decided_shops.py). What a shop would save is held against what is said of the item type of which it
is said.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import pandas as pd

from models.actions.action import CONFIDENCES
from models.actions.savings import packing_actions
from models.analyses.damage_decision import compute
from models.rows import as_dicts
from tests.decided_shops import KINDS, DecidedShop, drawn

Row = tuple[str, float, float]
NEARLY_SURE = CONFIDENCES[0][0]
# Cents a year: a hundred dollars a month.
WORTH_SAYING = 120_000


@dataclass(frozen=True)
class Said:
    """Of an item type: the chance said that another method is the cheapest, whether it is advised or offered, the gain
    stated of it in a year, what it truly saves and what the truly cheapest of those weighed would."""

    is_sure: bool
    is_told: bool
    stated: float
    saving: float
    most: float


def run(shops: int = 60) -> Iterator[Row]:
    """Every kind of shop; ten minutes or so."""
    told: list[list[Said]] = []
    for name, kind in KINDS.items():
        own = [said(drawn(kind, np.random.default_rng([at, *name.encode()]))) for at in range(shops)]
        told += own
        yield from _kept(name, own)
    yield from _kept("of all kinds", told)


def _kept(name: str, shops: list[list[Said]]) -> Iterator[Row]:
    each = [found for own in shops for found in own]
    sure, stated = [found for found in each if found.is_sure], [found for found in each if found.is_told]
    worth = [[found for found in own if found.most > WORTH_SAYING] for own in shops]
    heard = [any(found.is_sure for found in own) for own in worth if own]
    reached = float(np.mean([found.saving >= found.stated for found in stated]))
    ratio = sum(found.saving for found in stated) / sum(found.stated for found in stated)
    yield f"shops {name}: nearly sure and does not save, of {len(sure)}", np.mean([e.saving <= 0 for e in sure]), 0.05
    yield f"shops {name}: worth $100 a month and not said, of {len(heard)}", 1.0 - np.mean(heard), 0.4
    yield (
        f"shops {name}: stated money reached ({reached:.2f} of {len(stated)}), distance from half",
        abs(reached - 0.5),
        0.1,
    )
    yield f"shops {name}: saved of a dollar stated ({ratio:.2f}), distance from one", abs(ratio - 1.0), 0.15


# How much room methods need is no matter here.
ROOM = pd.DataFrame(columns=["packing_method", "clearance_in"])


def said(shop: DecidedShop) -> list[Said]:
    """What is said of each item type."""
    rows = compute(shop.question)["analysis.packing_decision"]
    actions = {str(each.facts["item_type"]): each for each in packing_actions(rows, ROOM)}
    found = []
    for best in as_dicts(rows[rows["is_best"].astype(bool)]):
        item, current = best["item_type"], best["current_method"]
        weighed = rows.loc[rows["item_type"] == item, "packing_method"]
        most = max(shop.saving(item, current, str(method)) for method in weighed)
        action, saving = actions.get(item), shop.saving(item, current, best["best_method"])
        is_sure = action is not None and action.confidence >= NEARLY_SURE
        found.append(Said(is_sure, best["best_method"] != current, best["best_gain_cents"], saving, most))
    return found
