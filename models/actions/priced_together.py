"""Changes of carton priced with other services: what both save for the same parcels beyond what each saves alone."""

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


def priced_together(actions: Sequence[Action], stock: pd.DataFrame | None, sizes: pd.DataFrame | None) -> list[Action]:
    """The actions, those that change cartons with the cents of each rule of services that was priced with them.

    stock: analysis.joint_changes. sizes: analysis.assortment_joint_changes. Without a table its changes and the rules
    exclude each other, as does a rule that was not priced.
    """
    beside: dict[str, Mapping[Change, Joint]] = {}
    if stock is not None:
        beside[STOCK] = _summed((_change_of(row), row) for row in as_dicts(stock))
    if sizes is not None:
        told = {_change(each) for each in actions if each.plan == SIZES}
        beside[SIZES] = _summed(_of_sizes(as_dicts(sizes), told))
    return [replace(each, joint_cents=beside.get(each.plan, {}).get(_change(each), {})) for each in actions]


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
