"""What another carrier damages more, from given parcels and claims: taken off only where they prove it."""

from __future__ import annotations

from typing import Any

import pandas as pd
import pytest

from models.analyses.service_damage import more_damage
from tests.damage_shops import claims, parcels, question

OWN: dict[str, Any] = {"carrier": "Tern", "service": "quick"}
OTHER: dict[str, Any] = {"carrier": "Skua", "service": "slow"}
RULE = pd.DataFrame(
    [{"item_type": "tube", **OWN, **{f"other_{name}": value for name, value in OTHER.items()}}], dtype="str"
)
COUNT, LOSS = 600, 30_000


def taken_off(own_claims: int, other_claims: int, rule: pd.DataFrame = RULE, count: int = COUNT) -> int:
    """Cents a parcel, where so many of each carrier's parcels of tubes were damaged at 300.00."""
    broken, sent = [], []
    for went_by, claimed in ((OWN, own_claims), (OTHER, other_claims)):
        group = parcels(count, item_type="tube", **went_by)
        sent += group
        broken += claims([group[at * count // max(claimed, 1)] for at in range(claimed)], claim_cost_cents=LOSS)
    (cents,) = more_damage(question(sent, broken), rule)
    return cents


def test_more_damage_that_the_records_prove_costs_its_share_of_a_loss() -> None:
    # By hand: 84 - 12 of 600 parcels more, at 300.00, are 36.00 a parcel; pooling draws both rates together.
    assert taken_off(12, 84) == pytest.approx(3_600, rel=0.25)


@pytest.mark.parametrize(("own", "other"), [(12, 12), (84, 12), (12, 16), (0, 0), (12, 0)])
def test_what_may_be_chance_or_is_less_damage_costs_nothing(own: int, other: int) -> None:
    assert taken_off(own, other) == 0


def test_goods_that_both_carriers_damage_alike_are_not_reported_by_other_goods() -> None:
    """Tubes break by one carrier alone, tins as often by either: all goods together speak for more, tins do not."""
    sent, broken = [], []
    for item_type, counts in (("tube", (2, 84)), ("tin", (60, 60))):
        for went_by, claimed in zip((OWN, OTHER), counts, strict=True):
            group = parcels(COUNT, item_type=item_type, **went_by)
            sent += group
            broken += claims([group[at * COUNT // claimed] for at in range(claimed)], claim_cost_cents=LOSS)
    rules = pd.concat([RULE, RULE.assign(item_type="tin")], ignore_index=True)
    tube, tin = more_damage(question(sent, broken), rules)
    assert tube > 0 and tin == 0


def test_a_few_parcels_prove_nothing() -> None:
    assert taken_off(1, 3, count=12) == 0


def test_of_a_service_that_has_carried_nothing_and_of_other_goods_no_record_tells() -> None:
    assert taken_off(12, 84, RULE.assign(other_carrier="Gannet")) == 0
    assert taken_off(12, 84, RULE.assign(item_type="tin")) == 0


def test_no_rule_asks_no_model() -> None:
    assert more_damage(question([], []), RULE.iloc[:0]) == []
