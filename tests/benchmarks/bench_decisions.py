"""Whether advice on packing keeps its word on shops that nobody planted: `python -m tests.benchmarks decisions`.

Advice is "nearly sure" as the list of actions says it; the saving is the true one, of the generator's own rates, losses
and payments (tests/decided_shops.py). What a shop would save is held against what is said of the item type of which it
is said.
"""

from __future__ import annotations

import time
from collections.abc import Iterator, Sequence, Sized
from dataclasses import dataclass, replace

import numpy as np
import pandas as pd

from models.actions.action import CONFIDENCES, MONTHS_OF_A_YEAR
from models.actions.savings import packing_actions
from models.analyses import damage, damage_decision
from models.plain_rows import as_dicts
from tests.benchmarks.claims_drawn import Kind as ClaimsKind
from tests.benchmarks.claims_drawn import drawn as parcels_of
from tests.decided_shops import KINDS, DecidedShop, drawn

Row = tuple[str, float, float]
NEARLY_SURE = CONFIDENCES[0][0]
# Cents a year: a hundred dollars a month.
WORTH_SAYING = 120_000
CARRIAGE = "analysis.method_carriage"
NO_CARRIAGE = pd.DataFrame(columns=["parcel_id", "item_type", "packing_method", "carton_cents", "postage_cents"])


@dataclass(frozen=True)
class Said:
    """Of an item type: whether another method is nearly surely the cheapest, whether it is advised or offered, the gain
    stated of it in a year, what the list of actions expects of it in its sum, what it truly saves and what the truly
    cheapest of those weighed would."""

    is_sure: bool
    is_told: bool
    stated: float
    expected: float
    saving: float
    most: float


def run(shops: int = 60) -> Iterator[Row]:
    """Every kind of shop; ten minutes or so."""
    shown: list[list[Said]] = []
    for name, kind in KINDS.items():
        own = [said(drawn(kind, np.random.default_rng([at, *name.encode()]))) for at in range(shops)]
        shown += own
        yield from kept(name, own)
    yield from kept("of all kinds", shown, deviations=0.0)
    yield "a million parcels: processor seconds of model, rates, comparison, losses and decisions", million(), 10.0


def kept(name: str, shops: list[list[Said]], deviations: float = 1.645) -> Iterator[Row]:
    """Whether what is said comes true. The limits of one kind are wider by what chance does with so few: one in twenty
    kinds that keep to them is called out."""
    each = [found for own in shops for found in own]
    sure, stated = [found for found in each if found.is_sure], [found for found in each if found.is_told]
    worth = [[found for found in own if found.most > WORTH_SAYING] for own in shops]
    silent = [not any(found.is_sure for found in own) for own in worth if own]
    reached = _share([found.saving >= found.stated for found in stated])
    ratio = sum(found.saving for found in stated) / max(sum(found.stated for found in stated), 1.0)
    about = f"reached {reached:.2f} of {len(stated)}, {ratio:.2f} saved of a dollar stated"
    yield (
        f"shops {name}: nearly sure and does not save, of {len(sure)}",
        *_limited([e.saving <= 0 for e in sure], 0.05, deviations),
    )
    yield f"shops {name}: worth $100 a month and not said, of {len(silent)}", *_limited(silent, 0.4, deviations)
    yield (
        f"shops {name}: stated money ({about}), distance from half",
        abs(reached - 0.5),
        0.1 + deviations * _error(0.4, stated),
    )
    promised = [found for found in each if found.expected > 0]
    came = sum(found.saving for found in promised) / max(sum(found.expected for found in promised), 1.0)
    above = _share([found.saving >= found.expected for found in promised])
    yield (
        f"shops {name}: what {len(promised)} actions are expected to bring together ({came:.2f} came of a dollar, "
        f"reached {above:.2f}), distance from all",
        abs(came - 1.0) if promised else 0.0,
        0.1 + deviations * _spread(promised),
    )


def _spread(promised: Sequence[Said]) -> float:
    """Standard error of what came of a dollar promised."""
    missed = [found.saving - found.expected for found in promised]
    return float(np.sqrt(np.sum(np.square(missed)))) / max(sum(found.expected for found in promised), 1.0)


def _limited(wrong: Sequence[bool], limit: float, deviations: float) -> tuple[float, float]:
    return _share(wrong), limit + deviations * _error(limit, wrong)


def _error(share: float, seen: Sized) -> float:
    return float(np.sqrt(share * (1.0 - share) / max(len(seen), 1)))


def _share(wrong: Sequence[bool]) -> float:
    return float(np.mean(wrong)) if wrong else 0.0


def million() -> float:
    """Processor seconds of all that is reckoned of damage in a shop of a million parcels in two years."""
    shop = parcels_of(ClaimsKind(days=730, parcels=1_000_000), np.random.default_rng(1)).question()
    methods = [f"packing_method {at}" for at in range(4)]
    costs = {"packing_method": methods, "material_cents": [60, 120, 200, 300], "pack_minutes": 5.0}
    more = {"packing_costs": pd.DataFrame(costs).assign(wage_cents_per_hour=2_400), CARRIAGE: NO_CARRIAGE}
    asked = replace(shop, tables={**shop.tables, **more})
    start = time.process_time()
    for analysis in (damage, damage_decision):
        analysis.compute(asked)
    return time.process_time() - start


# How much room methods need is no matter here.
ROOM = pd.DataFrame(columns=["packing_method", "clearance_in"])


def said(shop: DecidedShop) -> list[Said]:
    """What is said of each item type."""
    rows = damage_decision.compute(shop.question)["analysis.packing_decision"]
    actions = {str(each.facts["item_type"]): each for each in packing_actions(rows, ROOM)}
    found = []
    for best in as_dicts(rows[rows["is_best"].astype(bool)]):
        item, current = best["item_type"], best["current_method"]
        weighed = rows.loc[rows["item_type"] == item, "packing_method"]
        most = max(shop.saving(item, current, str(method)) for method in weighed)
        action, saving = actions.get(item), shop.saving(item, current, best["best_method"])
        is_sure = action is not None and action.confidence >= NEARLY_SURE
        expected = MONTHS_OF_A_YEAR * action.expected_month_cents if action is not None and action.is_in_sum else 0
        found.append(Said(is_sure, best["best_method"] != current, best["best_gain_cents"], expected, saving, most))
    return found
