"""Savings shared between actions: nothing is counted twice, nothing is lost."""

from __future__ import annotations

from dataclasses import replace
from itertools import count

from hypothesis import given, settings
from hypothesis import strategies as st

from models.actions.action import APART, CARRIAGE, PACKING, Action, Unit
from models.actions.sharing import parted, shared_month_cents


def action(plan: str = "", **month_cents: int) -> Action:
    """An action by `item__pot=cents`; each of its own plan where none is named."""
    units: dict[Unit, int] = {}
    for name, cents in month_cents.items():
        item_type, _, pot = name.partition("__")
        units[item_type, pot] = cents
    return Action("carton", {}, 0.9, 1, "evidence", units, plan=plan or f"plan {next(PLANS)}")


PLANS = count()


def test_one_action_keeps_all_of_its_saving() -> None:
    assert shared_month_cents([action(tripod__carriage=900, mount__carriage=100)]) == [1_000]


def test_two_ways_to_the_same_money_share_the_larger() -> None:
    cut, other = action(tripod__carriage=900), action(tripod__carriage=600)
    assert shared_month_cents([cut, other]) == [540, 360]


def test_actions_of_one_plan_add_up_and_share_with_another_plan() -> None:
    found = [action("stock", tripod__carriage=600), action("stock", tripod__carriage=300)]
    assert shared_month_cents(found) == [600, 300]
    assert shared_month_cents([*found, action("sizes", tripod__carriage=900)]) == [300, 150, 450]


def test_other_item_types_and_pots_are_other_money() -> None:
    found = [action(tripod__carriage=900), action(mount__carriage=600), action(tripod__packing=50)]
    assert shared_month_cents(found) == [900, 600, 50]


def test_a_trial_or_a_higher_charge_keeps_its_own_and_takes_from_none() -> None:
    apart = [replace(action(tripod__carriage=800), action_kind=kind) for kind in APART]
    assert shared_month_cents([action(tripod__carriage=900), *apart]) == [900, 800, 800, 800]


def most_together(actions: list[Action]) -> int:
    """The most that all can save: of each item type and pot the best plan."""
    plans: dict[Unit, dict[str, int]] = {}
    for each in actions:
        for unit, cents in each.month_cents.items():
            by_plan = plans.setdefault(unit, {})
            by_plan[each.plan] = by_plan.get(each.plan, 0) + cents
    return sum(max(by_plan.values()) for by_plan in plans.values())


UNITS = st.tuples(st.sampled_from(("tripod", "mount", "eyepiece")), st.sampled_from((CARRIAGE, PACKING)))
ACTIONS = st.lists(
    st.builds(
        lambda units, plan: Action("carton", {}, 0.9, 1, "evidence", units, plan=plan),
        st.dictionaries(UNITS, st.integers(0, 99_999), max_size=4),
        st.sampled_from(("stock", "sizes", "near misses")),
    ),
    max_size=7,
)


@settings(derandomize=True, deadline=None, max_examples=200)
@given(found=ACTIONS)
def test_the_sum_is_what_can_be_saved_and_no_share_exceeds_its_own(found: list[Action]) -> None:
    shares = shared_month_cents(found)
    assert sum(shares) == most_together(found)
    assert all(0 <= share <= each.alone_cents for share, each in zip(shares, found, strict=True))


@settings(derandomize=True, deadline=None, max_examples=60)
@given(found=ACTIONS, drawing=st.data())
def test_the_order_does_not_matter_by_more_than_a_cent_for_each_unit(
    found: list[Action], drawing: st.DataObject
) -> None:
    order = drawing.draw(st.permutations(range(len(found))))
    shares, again = shared_month_cents(found), shared_month_cents([found[at] for at in order])
    assert all(abs(again[place] - shares[at]) <= len(found[at].month_cents) for place, at in enumerate(order))


@settings(derandomize=True, deadline=None, max_examples=100)
@given(total=st.integers(0, 10**9), weights=st.lists(st.integers(1, 10**6), min_size=1, max_size=9))
def test_parts_add_up_and_lie_within_a_cent_of_their_proportion(total: int, weights: list[int]) -> None:
    parts = parted(total, weights)
    assert sum(parts) == total
    assert all(
        abs(part * sum(weights) - total * weight) < sum(weights) for part, weight in zip(parts, weights, strict=True)
    )
