"""Changes of carton and of packing method priced with other services: what both save for the same parcels beyond what
each saves alone."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

import pandas as pd

from models.actions.action import Action
from models.actions.savings import STOCK, Row
from models.actions.services import rule_evidence
from models.actions.sizes import SIZES
from models.plain_rows import as_dicts

Joint = Mapping[str, int]
Change = tuple[object, ...]
NAMED = ("item_type", "carton_code", "best_carton_code")


def priced_together(
    actions: Sequence[Action],
    stock: pd.DataFrame | None,
    sizes: pd.DataFrame | None,
    methods: pd.DataFrame | None = None,
) -> list[Action]:
    """The actions, those that change cartons or packing methods with the cents of each rule of services that was priced
    with them.

    stock: analysis.joint_changes. sizes: analysis.assortment_joint_changes. methods: analysis.joint_methods. Without a
    table its changes and the rules exclude each other, as does a rule that was not priced.
    """
    told = {_change(each) for each in actions if each.plan == SIZES}
    beside = {
        STOCK: _summed((_change_of(row), row) for row in _rows(stock)),
        SIZES: _summed(_of_sizes(_rows(sizes), told)),
    }
    repacked = _summed(((row["item_type"], row["best_method"]), row) for row in _rows(methods))
    moved = [replace(each, joint_cents=beside.get(each.plan, {}).get(_change(each), {})) for each in actions]
    return [_with_method(each, moved, repacked) for each in moved]


def _rows(table: pd.DataFrame | None) -> list[Row]:
    return [] if table is None else as_dicts(table)


def _with_method(action: Action, moved: Sequence[Action], repacked: Mapping[Change, Joint]) -> Action:
    """A packing method with the cents of the rules that were priced with it.

    What it saves begins in the cartons from stock that its goods change to. One that saves less than nothing on the
    other service is not changed to there, so that the method has to bring that as well.
    """
    told = repacked.get((action.facts.get("item_type"), action.facts.get("best_method")), {})
    before = [each for each in moved if action.plan == each.plan == STOCK and _is_of(each, action)]
    lost = {name: sum(min(0, each.saving_cents + each.joint_cents.get(name, 0)) for each in before) for name in told}
    return replace(action, joint_cents={**action.joint_cents, **{name: told[name] + lost[name] for name in told}})


def _is_of(change: Action, method: Action) -> bool:
    return change.facts["item_type"] == method.facts["item_type"] and "carton_code" in change.facts


def _change(action: Action) -> Change:
    """A change of carton; the item type that new sizes serve; or nothing, of the action that opens a plan."""
    named = tuple(action.facts.get(name) for name in NAMED)
    return () if action.replaces else named if None in named[1:] else (*named, action.action_kind == "cut")


def _change_of(row: Row) -> Change:
    return (*(row[name] for name in NAMED), bool(row["is_cut"]))


def _of_sizes(rows: Iterable[Row], told: set[Change]) -> Iterable[tuple[Change, Row]]:
    """Each row with the change that it belongs to, as `size_actions` adds parcels up: a change of carton, all that an
    item type saves in the sizes bought, or all that parcels lose that must leave their carton."""
    for row in rows:
        if not row["is_saving_alone"]:
            yield (), row
        elif _change_of(row) in told:
            yield _change_of(row), row
        elif row["size_source"] != "stock":
            yield (row["item_type"], None, None), row


def _summed(rows: Iterable[tuple[Change, Row]]) -> dict[Change, dict[str, int]]:
    found: dict[Change, dict[str, int]] = defaultdict(lambda: defaultdict(int))
    for change, row in rows:
        found[change][rule_evidence(row)] += int(row["joint_month_cents"])
    return found
