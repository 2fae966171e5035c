"""Fifty tiny shops: the plan against all sets of its actions, each set priced whole in plain Python."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta
from functools import cache
from itertools import chain, combinations

import pytest

from models.actions.action import Action
from models.actions.joint import done_together, excludes
from tests.plan_shops.advised import planned
from tests.plan_shops.tiny import candidates, month_savings, tiny
from tests.plan_shops.trade import PAST, Carton, Goods, Parcel, PlanShop, Tariff, month
from tests.sampling import is_whole
from tests.shops import rows

# Three with few sets to price, one after the other.
SEEDS = range(50) if is_whole() else (0, 2, 3)


def free_sets(found: Sequence[Action]) -> list[tuple[Action, ...]]:
    """Every set of the actions without two that exclude each other."""
    every = chain.from_iterable(combinations(found, count) for count in range(len(found) + 1))
    return [each for each in every if not any(excludes(one, other) for one, other in combinations(each, 2))]


def expected(chosen: Sequence[Action], saved: dict[int, int]) -> float:
    return sum(each.share_expected * saved[at] for at, each in enumerate(chosen))


@cache
def found_in(seed: int) -> list[Action]:
    with planned(tiny(seed)) as connection:
        return candidates(connection)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_plan_is_the_best_set_and_its_amounts_are_those_of_the_plan_priced_whole(seed: int) -> None:
    shop, found = tiny(seed), found_in(seed)
    plan = done_together(found)
    # Of two for the same parcel it matters which alone brings more, not which has more beside the other.
    alone = {(each.evidence, each.action_kind): each for each in found}
    whole = month_savings(shop, [alone[each.evidence, each.action_kind] for each in plan])
    assert [each.saving_cents for each in plan] == list(whole.values())
    best = max(expected(each, month_savings(shop, each)) for each in free_sets(found))
    assert expected(plan, whole) == pytest.approx(best, abs=1e-6)


def test_in_some_of_them_both_change_the_same_parcels_and_bring_other_than_their_sum() -> None:
    both = uneven = 0
    for seed in SEEDS:
        found = found_in(seed)
        plan = done_together(found)
        alone = {(each.evidence, each.action_kind): each.saving_cents for each in found}
        both += {each.action_kind for each in plan} > {"other service"}
        uneven += any(each.saving_cents != alone[each.evidence, each.action_kind] for each in plan)
    assert both and uneven


def test_a_parcel_that_the_other_service_does_not_take_in_its_new_carton_stays_on_its_own_service() -> None:
    goods = Goods("rod", (19, 3, 3), 4.0, 0, 0, 0)
    cube, slim = Carton("CUBE", (20, 20, 20), 200), Carton("SLIM", (30, 8, 8), 200)
    own, other = (Tariff({"2": (500, cents)}, 139, (300, 0), (300, 0)) for cents in (40, 35))
    sent = [
        Parcel(f"R{number}-{week}", month(number) + timedelta(days=7 * week), goods, "2", 3.5, cube)
        for number in range(PAST)
        for week in range(4)
    ]
    shop = PlanShop(0, (goods,), (cube, slim), (), own, tuple(sent), board_lb=0.0, other=replace(other, limit=25))
    with planned(shop) as connection:
        found = candidates(connection)
        (pair,) = rows(connection, "select * from analysis.joint_changes")
        (kept,) = rows(connection, "select * from analysis.actions where action_kind <> 'near miss'")
    # By hand: 21 x 21 x 21 over 139 are 67 pounds, of which 66 cost 5 cents less by the other carrier.
    assert [each.saving_cents for each in found if each.action_kind == "other service"] == [4 * 66 * 5]
    assert (pair["parcel_count"], pair["refused_parcel_count"], pair["joint_month_cents"]) == (48, 48, -4 * 66 * 5)
    # 31 x 9 x 9 are 19 pounds: 48 pounds fewer by the carrier used, and nothing is left for the other one.
    assert (kept["action_kind"], kept["saving_month_cents"]) == ("carton", 4 * 48 * 40)
