"""Shares savings between actions that would save the same money, so that none is counted twice.

The rule. A unit is an item type and a pot: carriage (with cartons), packing (with damage). Actions of one plan
concern different parcels of a unit, so that their savings add up; plans are alternatives for the same parcels. Together
the actions on a unit save what the plan that saves most would save alone, and share it in proportion to what each would
save alone, to the cent by largest remainder. Where two plans concern different parcels this understates them; it never
overstates.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence

from models.actions.action import Action, Unit


def shared_month_cents(actions: Sequence[Action]) -> list[int]:
    """What each action saves a month after sharing, in the order given; those outside the sum keep what is theirs."""
    by_unit: dict[Unit, dict[int, int]] = defaultdict(dict)
    for at, action in enumerate(actions):
        for unit, cents in action.month_cents.items():
            if cents > 0 and action.is_in_sum:
                by_unit[unit][at] = cents
    totals = [0 if action.is_in_sum else action.alone_cents for action in actions]
    for unit, alone in by_unit.items():
        for at, cents in zip(alone, parted(_best_plan(actions, unit), alone.values()), strict=True):
            totals[at] += cents
    return totals


def _best_plan(actions: Sequence[Action], unit: Unit) -> int:
    """What the plan that saves most on the unit would save alone."""
    plans: dict[str, int] = defaultdict(int)
    for action in actions:
        if action.is_in_sum:
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
