"""Shares savings between actions that would save the same money, so that none is counted twice.

The rule. A unit is an item type and a pot: carriage (with cartons), packing (with damage), income. Actions of one plan
concern different parcels of a unit, so that their savings add up; plans are alternatives for the same parcels. Together
the actions on a unit save what the plan that saves most would save alone, and share it in proportion to what each would
save alone, to the cent by largest remainder. Where two plans concern different parcels this understates them; it never
overstates. Charging more (income) brings at most the loss of the item type that the other actions leave.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence

from models.actions.action import INCOME, Action, Unit

Shares = dict[tuple[int, Unit], int]


def shared_month_cents(actions: Sequence[Action]) -> list[int]:
    """What each action saves a month after sharing, in the order given."""
    costs = _shares(actions, lambda unit: unit[1] != INCOME)
    saved: dict[str, int] = defaultdict(int)
    for (_, (item_type, _)), cents in costs.items():
        saved[item_type] += cents
    incomes = _shares(actions, lambda unit: unit[1] == INCOME, saved)
    totals = [0] * len(actions)
    for shares in (costs, incomes):
        for (at, _), cents in shares.items():
            totals[at] += cents
    return totals


def _shares(
    actions: Sequence[Action], concerns: Callable[[Unit], bool], less: Mapping[str, int] | None = None
) -> Shares:
    """Share per action and unit. less: by item type, what is saved elsewhere and no longer to be had."""
    by_unit: dict[Unit, dict[int, int]] = defaultdict(dict)
    for at, action in enumerate(actions):
        for unit, cents in action.month_cents.items():
            if cents > 0 and concerns(unit):
                by_unit[unit][at] = cents
    found: Shares = {}
    for unit, alone in by_unit.items():
        to_share = max(_best_plan(actions, unit) - (less or {}).get(unit[0], 0), 0)
        found |= {(at, unit): cents for at, cents in zip(alone, parted(to_share, alone.values()), strict=True)}
    return found


def _best_plan(actions: Sequence[Action], unit: Unit) -> int:
    """What the plan that saves most on the unit would save alone."""
    plans: dict[str, int] = defaultdict(int)
    for action in actions:
        plans[action.plan or action.action_kind] += max(action.month_cents.get(unit, 0), 0)
    return max(plans.values())


def parted(total: int, weights: Iterable[int]) -> list[int]:
    """The total in whole cents, in proportion to positive weights, by largest remainder."""
    known = list(weights)
    whole = sum(known)
    floors = [total * weight // whole for weight in known]
    ranked = sorted(range(len(known)), key=lambda at: (-(total * known[at] % whole), at))
    for at in ranked[: total - sum(floors)]:
        floors[at] += 1
    return floors
