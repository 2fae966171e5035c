"""One plan: of ways that exclude one another, the set that brings most together.

A way is one action, or the actions of a plan that is done whole. Ways that change the same parcels exclude one another
unless they belong to the same plan, whose actions concern different parcels. What ways of a set bring adds up, since no
parcel is changed twice; so the best set is the heaviest one without two that exclude each other, found exactly.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from models.actions.action import Action, Touched

Exclusions = dict[int, frozenset[int]]


@dataclass(frozen=True)
class Way:
    """actions: done together or not at all, the one that is named first. worth: expected cents of a year."""

    actions: tuple[Action, ...]

    @property
    def worth(self) -> float:
        return sum(each.worth for each in self.actions)

    @property
    def month_cents(self) -> int:
        return sum(each.expected_month_cents for each in self.actions)

    @property
    def touched(self) -> Touched:
        return frozenset().union(*(each.touched for each in self.actions))

    def excludes(self, other: Way) -> bool:
        """Whether both would change the same parcels. A pair without a carton means all cartons of the item type."""
        if self.actions[0].plan == other.actions[0].plan:
            return False
        mine, theirs = self.touched, other.touched
        return bool(mine & theirs) or bool(_whole(mine) & _items(theirs)) or bool(_whole(theirs) & _items(mine))


def _items(touched: Touched) -> frozenset[str]:
    return frozenset(item for item, _ in touched)


def _whole(touched: Touched) -> frozenset[str]:
    return frozenset(item for item, carton in touched if not carton)


def done_together(actions: Sequence[Action]) -> list[Action]:
    """The actions of the best set, in the order given; each knows the ways that it excludes.

    A way that no set holds is named by the best way that excludes it, once.
    """
    ways = _ways(actions)
    excluded = {
        at: frozenset(other for other in range(len(ways)) if other != at and way.excludes(ways[other]))
        for at, way in enumerate(ways)
    }
    chosen = best_set([way.worth for way in ways], excluded)
    named: dict[int, list[Way]] = {at: [] for at in chosen}
    for at, way in enumerate(ways):
        rivals = excluded[at] & named.keys()
        if at not in named and rivals:
            named[max(rivals, key=lambda other: (ways[other].worth, -other))].append(way)
    return [action for at in sorted(chosen) for action in _naming(ways[at], named[at])]


def _ways(actions: Sequence[Action]) -> list[Way]:
    """One way per action, and one per plan that is done whole, where its first action stands."""
    keyed = [(each.plan if each.is_whole else str(at), each) for at, each in enumerate(actions)]
    order = {key: at for at, (key, _) in reversed(list(enumerate(keyed)))}
    ranked = sorted(keyed, key=lambda pair: order[pair[0]])
    return [Way(tuple(each for _, each in group)) for _, group in groupby(ranked, key=lambda pair: pair[0])]


def _naming(way: Way, others: Sequence[Way]) -> list[Action]:
    if not others:
        return list(way.actions)
    ranked = sorted(others, key=lambda other: -other.worth)
    cents = sum(other.month_cents for other in others)
    first = replace(way.actions[0], other_ways=[other.actions[0] for other in ranked], other_month_cents=cents)
    return [first, *way.actions[1:]]


def best_set(worths: Sequence[float], excluded: Exclusions) -> frozenset[int]:
    """The heaviest set of numbers without two that exclude each other; what is worth nothing is left out.

    Branches on the number that excludes most others, one part of the graph at a time.
    """
    return _best(frozenset(at for at, worth in enumerate(worths) if worth > 0), worths, excluded)


def _best(left: frozenset[int], worths: Sequence[float], excluded: Exclusions) -> frozenset[int]:
    taken: frozenset[int] = frozenset()
    for part in _parts(left, excluded):
        hub = max(part, key=lambda at: (len(excluded[at] & part), -at))
        if not excluded[hub] & part:
            taken |= part
            continue
        with_it = _best(part - excluded[hub] - {hub}, worths, excluded) | {hub}
        without = _best(part - {hub}, worths, excluded)
        taken |= max(with_it, without, key=lambda found: sum(worths[at] for at in found))
    return taken


def _parts(left: frozenset[int], excluded: Exclusions) -> list[frozenset[int]]:
    """Parts between which nothing excludes anything."""
    parts, waiting = [], set(left)
    while waiting:
        part, edge = set(), {min(waiting)}
        while edge:
            part |= edge
            edge = {other for at in edge for other in excluded[at] & left} - part
        parts.append(frozenset(part))
        waiting -= part
    return parts
