"""One plan: of actions that exclude one another, the set that brings most together.

Actions that change the same parcels exclude one another unless they belong to the same plan, whose actions concern
different parcels, or were priced together: a change of carton and another service. A parcel has one carton and one
service, so what the actions of a set bring, and what each two of them bring together beyond that, add up to the plan
priced whole; the best set is found exactly. An action may open a plan, as other sizes in stock do: with it, the plan it
replaces falls; without it, all that belongs to it does. Both are tried.
"""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from models.actions.action import CARRIAGE, MONTHS_OF_A_YEAR, Action, Touched
from models.actions.best_set import Gains, best_set, worth_of


def done_together(actions: Sequence[Action]) -> list[Action]:
    """The actions of the best set, in the order given, priced beside one another; each knows those that it excludes.

    An action that is not done is named by the best one that excludes it, once; a plan that is not opened by its opening
    action, which stands for all of it. Parts of an opening action that are done are added to it.
    """
    openings = [at for at, each in enumerate(actions) if each.replaces]
    worths, gains = [each.worth for each in actions], _gains(actions)
    tried = [_with(actions, gains, at) for at in (None, *openings)]
    chosen = max(tried, key=lambda found: worth_of(found, worths, gains))
    return _folded(_named(actions, chosen))


def _gains(actions: Sequence[Action]) -> Gains:
    """What is expected in a year of each two beyond what each brings alone, where they were priced together."""
    places = {each.evidence: at for at, each in enumerate(actions)}
    found: dict[int, dict[int, float]] = {}
    for one, action in enumerate(actions):
        tied = {places[name]: cents for name, cents in action.joint_cents.items() if cents and name in places}
        for other, cents in tied.items():
            gain = MONTHS_OF_A_YEAR * _later(action, actions[other]).share_expected * cents
            found.setdefault(one, {})[other] = found.setdefault(other, {})[one] = gain
    return found


def _later(one: Action, other: Action) -> Action:
    """The one that is priced beside the other: it brings less, so that each row is worth doing beside greater ones."""
    return min(one, other, key=lambda each: (each.worth, each.evidence))


def _with(actions: Sequence[Action], gains: Gains, opening: int | None) -> frozenset[int]:
    """The best set with the plan that the action opens, or without any such plan."""
    opened = {each.plan for each in actions if each.replaces}
    fallen = opened if opening is None else (opened | {actions[opening].replaces}) - {actions[opening].plan}
    left = frozenset(at for at, each in enumerate(actions) if each.plan not in fallen and not each.replaces)
    excluded = {at: frozenset(b for b in left if b != at and excludes(actions[at], actions[b])) for at in left}
    beside = {} if opening is None else gains.get(opening, {})
    worths = [each.worth + beside.get(at, 0.0) for at, each in enumerate(actions)]
    return best_set(left, worths, excluded, gains) | (frozenset() if opening is None else {opening})


def excludes(one: Action, other: Action) -> bool:
    """Whether both would change the same parcels and were not priced together. A pair without a carton means all
    cartons of the item type."""
    if one.plan == other.plan or other.evidence in one.joint_cents or one.evidence in other.joint_cents:
        return False
    if one.replaces or other.replaces:
        return other.plan == one.replaces or one.plan == other.replaces
    mine, theirs = one.touched, other.touched
    return bool(mine & theirs) or bool(_whole(mine) & _items(theirs)) or bool(_whole(theirs) & _items(mine))


def _items(touched: Touched) -> frozenset[str]:
    return frozenset(item for item, _ in touched)


def _whole(touched: Touched) -> frozenset[str]:
    return frozenset(item for item, carton in touched if not carton)


def _named(actions: Sequence[Action], chosen: frozenset[int]) -> list[Action]:
    """The chosen actions, priced beside one another, each with those that it excludes or that it makes vain."""
    named: dict[int, list[Action]] = {at: [] for at in sorted(chosen)}
    for each in _left_out(actions, chosen):
        rivals = [_row_of(actions, named, other) for other in named if _is_instead(each, actions[other])]
        if rivals:
            best = max(rivals, key=lambda at: (bool(actions[at].replaces), actions[at].worth, -at))
            named[best].append(_told(each, actions))
    done = [actions[at] for at in named]
    return [_naming(_beside(actions[at], done), others) for at, others in named.items()]


def _is_instead(one: Action, other: Action) -> bool:
    """Whether both cannot be done, or bring less together than each alone."""
    return _together(one, other) < 0 or excludes(one, other)


def _together(one: Action, other: Action) -> int:
    """Cents a month that both save beyond what each saves alone; 0 where they were not priced together."""
    return one.joint_cents.get(other.evidence, 0) + other.joint_cents.get(one.evidence, 0)


def _beside(action: Action, done: Sequence[Action]) -> Action:
    """The action with what it saves beside the greater ones that are done for the same parcels."""
    cents, limits = dict(action.month_cents), action.month_limits
    for other in done:
        more = _together(action, other)
        if more and _later(action, other) is action:
            unit = str(action.facts.get("item_type") or other.facts["item_type"]), CARRIAGE
            cents[unit] = cents.get(unit, 0) + more
            limits = limits and (limits[0] + more, limits[1] + more)
    return replace(action, month_cents=cents, month_limits=limits)


def _left_out(actions: Sequence[Action], chosen: frozenset[int]) -> list[Action]:
    """The other ways: without changes that the chosen plan has too, and without what only a plan that falls has."""
    fallen = {each.plan for each in actions if each.replaces} - {actions[at].plan for at in chosen}
    done = {_change(actions[at]) for at in chosen} - {None}
    left = [each for at, each in enumerate(actions) if at not in chosen and not each.is_part]
    return [each for each in left if (each.replaces or each.plan not in fallen) and _change(each) not in done]


def _change(action: Action) -> tuple[object, ...] | None:
    """From which carton to which; None for what is no change of carton."""
    named = tuple(action.facts.get(name) for name in ("item_type", "carton_code", "best_carton_code"))
    return None if None in named else (action.action_kind, *named)


def _told(action: Action, actions: Sequence[Action]) -> Action:
    """What is said of an action that is not done: of one that opens a plan, all that its plan would bring."""
    return _whole_of(action, [each for each in actions if each is not action]) if action.replaces else action


def _row_of(actions: Sequence[Action], chosen: Iterable[int], at: int) -> int:
    """Where the action has its row: a part has that of the action that opens its plan."""
    mine = actions[at]
    return (
        next(other for other in chosen if actions[other].replaces and actions[other].plan == mine.plan)
        if mine.is_part
        else at
    )


def _naming(action: Action, others: Sequence[Action]) -> Action:
    if not others:
        return action
    ranked = sorted(others, key=lambda other: -other.worth)
    return replace(action, other_ways=ranked, other_month_cents=sum(each.expected_month_cents for each in others))


def _folded(chosen: Sequence[Action]) -> list[Action]:
    """Parts added to the action that opens their plan."""
    parts = [each for each in chosen if each.is_part]
    return [_whole_of(each, parts) if each.replaces else each for each in chosen if not each.is_part]


def _whole_of(opening: Action, parts: Sequence[Action]) -> Action:
    mine = [opening, *(each for each in parts if each.plan == opening.plan)]
    units = dict.fromkeys(unit for each in mine for unit in each.month_cents)
    cents = {unit: sum(each.month_cents.get(unit, 0) for each in mine) for unit in units}
    return replace(opening, month_cents=cents, parcel_count=sum(each.parcel_count for each in mine))
