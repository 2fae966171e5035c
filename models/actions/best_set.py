"""The best set of things to do, of which some exclude one another and some bring more or less together, exactly."""

from collections.abc import Mapping, Sequence
from itertools import combinations

Exclusions = Mapping[int, frozenset[int]]
# What two bring together beyond what each brings alone, below zero where it is less: in both directions.
Gains = Mapping[int, Mapping[int, float]]
Worths = Mapping[int, float] | Sequence[float]


def best_set(left: frozenset[int], worths: Worths, excluded: Exclusions, gains: Gains | None = None) -> frozenset[int]:
    """The set worth most of the numbers, without two that exclude each other; what adds nothing to it is left out.

    What is decided whatever else is done is settled first. Then it branches on the number that is tied to most others,
    one part of the graph at a time.
    """
    known = gains or {}
    taken, left, now = _settled(left, worths, excluded, known)
    for part in _parts(left, excluded, known):
        hub = max(part, key=lambda at: (len(_tied(at, excluded, known) & part), -at))
        with_it = best_set(part - excluded[hub] - {hub}, _beside(now, known, hub), excluded, known) | {hub}
        without = best_set(part - {hub}, now, excluded, known)
        best: frozenset[int] = max(with_it, without, key=lambda found: worth_of(found, now, known))
        taken |= best
    return taken


def worth_of(found: frozenset[int], worths: Worths, gains: Gains) -> float:
    """What a set is worth: its members, and what each two of them bring together."""
    pairs = combinations(sorted(found), 2)
    return sum(worths[at] for at in found) + sum(gains.get(one, {}).get(other, 0.0) for one, other in pairs)


def _settled(
    left: frozenset[int], worths: Worths, excluded: Exclusions, gains: Gains
) -> tuple[frozenset[int], frozenset[int], dict[int, float]]:
    """What belongs to the best set whatever else does, what is still open, and its worth beside the former.

    A number that adds something even beside all that lessen it, and that nothing excludes, is taken; one that adds
    nothing even beside all that help it is not.
    """
    taken, now = frozenset[int](), {at: worths[at] for at in left}
    waiting = sorted(left)
    while waiting:
        at = waiting.pop()
        others = [gain for other, gain in gains.get(at, {}).items() if other in left]
        is_vain = now[at] + sum(gain for gain in others if gain > 0) <= 0
        is_sure = now[at] + sum(gain for gain in others if gain < 0) > 0 and not excluded[at] & left
        if at in left and (is_vain or is_sure):
            left -= {at}
            waiting = sorted(left)
            if not is_vain:
                taken, now = taken | {at}, _beside(now, gains, at)
    return taken, left, now


def _beside(worths: Mapping[int, float], gains: Gains, taken: int) -> dict[int, float]:
    """What each is worth beside the one that is taken."""
    return {at: worth + gains.get(taken, {}).get(at, 0.0) for at, worth in worths.items()}


def _tied(at: int, excluded: Exclusions, gains: Gains) -> frozenset[int]:
    return excluded[at] | frozenset(gains.get(at, ()))


def _parts(left: frozenset[int], excluded: Exclusions, gains: Gains) -> list[frozenset[int]]:
    """Parts between which nothing is tied."""
    parts, waiting = [], set(left)
    while waiting:
        part, edge = set[int](), {min(waiting)}
        while edge:
            part |= edge
            edge = {other for at in edge for other in _tied(at, excluded, gains) & left} - part
        parts.append(frozenset(part))
        waiting -= part
    return parts
