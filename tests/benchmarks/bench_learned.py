"""Prices learned from bills of twenty generated carriers, ten-fold, and ten thousand bills checked by such prices."""

from __future__ import annotations

import random
import tempfile
from pathlib import Path

from tests.models.generated_bills import carrier
from tests.models.learned_trials import Rival, Trial, boosted, middles, trial
from tests.pipelines.build.billed_shops import billed_shop
from tests.pipelines.build.learned_shops import outcome, taught

Result = tuple[str, float, float]

CARRIERS, PARCELS, FAULT_SHARE = 20, 10_000, 0.02


def run(carriers: int = CARRIERS, parcels: int = PARCELS) -> list[Result]:
    """(what, measured, limit) of each measurement; measured must not be above the limit."""
    found = [trial(carrier(seed).bills) for seed in range(carriers)]
    bills = sum(each.bills for each in found)
    covered = sum(each.covered * each.bills for each in found) / bills
    return [
        ("learned prices: mean error over that of the median by band and zone", _ratio(found, middles), 1.0),
        ("the same over that of gradient boosting", _ratio(found, boosted), 1.05),
        ("carriers of whose errors the median by band and zone has the smaller", _lost(found, middles, 1.0), 0.0),
        ("carriers more than 5 % above gradient boosting", _lost(found, boosted, 1.05), 0.0),
        ("share of bills within the interval, distance from 95 %", abs(covered - 0.95), 0.02),
        (
            "right bills of 10,000 beyond what a price may miss",
            1e4 * sum(each.disputed_right for each in found) / sum(each.right for each in found),
            10.0,
        ),
        (
            "wrong bills above the interval that are missed",
            1 - sum(each.disputed_wrong for each in found) / sum(each.wrong_above for each in found),
            0.2,
        ),
        *_checked(parcels),
    ]


def _ratio(found: list[Trial], rival: Rival) -> float:
    """The mean over carriers, each counting alike."""
    return sum(each.error / each.errors[rival] for each in found) / len(found)


def _lost(found: list[Trial], rival: Rival, limit: float) -> float:
    return float(sum(each.error > limit * each.errors[rival] for each in found))


def _checked(parcels: int) -> list[Result]:
    shop = billed_shop(random.Random(17), parcels, FAULT_SHARE)
    with tempfile.TemporaryDirectory() as folder, taught(shop, Path(folder)) as connection:
        found = outcome(connection, shop)
    return [
        (f"right bills of {parcels:,} that a learned tariff disputes", float(found.disputed_right), 10.0),
        (f"base prices and repeats of {found.above} wrong above the interval that are missed", found.missed_share, 0.2),
    ]
