"""What to do next: actions from every table that knows one, ranked by what is to be expected of them in a year."""

from collections.abc import Callable, Mapping, Set
from dataclasses import dataclass, replace

import pandas as pd

from models.actions.action import Action, confidence_words
from models.actions.joint import done_together
from models.actions.money_back import claim_actions, dispute_actions
from models.actions.priced_together import priced_together
from models.actions.savings import carton_actions, charge_actions, near_miss_actions, packing_actions
from models.actions.services import service_actions
from models.actions.sizes import size_actions
from models.analyses.question import Question, answer
from models.fields import LONGEST_TEXT
from models.settings.cartons import Advice

WRITES = ("analysis.actions", "analysis.action_totals", "analysis.other_ways")

RENAMED = "core.renamed_cartons"


@dataclass(frozen=True)
class Source:
    """Where actions come from. reads: table or query -> tables it needs. find: takes the tables in that order."""

    name: str
    reads: Mapping[str, tuple[str, ...]]
    find: Callable[..., list[Action]]


SOURCES = (
    Source(
        "disputes",
        {"action_disputes": ("marts.billing_disputes",), "action_dispute_outcomes": ("marts.billing_disputes",)},
        dispute_actions,
    ),
    Source(
        "claims",
        {"action_claims": ("marts.claim_deadlines",), "action_claim_outcomes": ("marts.claim_losses",)},
        claim_actions,
    ),
    Source("cartons in stock", {"action_cartons": ("analysis.best_cartons", RENAMED)}, carton_actions),
    Source(
        "near misses",
        {
            "action_near_misses": ("marts.near_miss_totals", RENAMED),
            "action_cartons": ("analysis.best_cartons", RENAMED),
        },
        near_miss_actions,
    ),
    Source(
        "sizes to stock",
        {
            "analysis.assortment_runs": ("analysis.assortment_runs",),
            "analysis.purchase_advice": ("analysis.purchase_advice",),
            "analysis.assortment_saving": ("analysis.assortment_saving",),
            "action_chosen_cartons": ("analysis.assortment_cartons", RENAMED),
        },
        size_actions,
    ),
    Source("services", {"analysis.service_rules": ("analysis.service_rules",)}, service_actions),
    Source(
        "packing methods",
        {
            "analysis.packing_decision": ("analysis.packing_decision",),
            "packing_costs": ("core.packing_methods", "core.current_packing_methods", "shop.settings"),
        },
        packing_actions,
    ),
    Source("shipping charges", {"analysis.shipping_guidance": ("analysis.shipping_guidance",)}, charge_actions),
)
# What changes of carton and other services save together: of cartons in stock, and of the sizes to stock.
TOGETHER = ("analysis.joint_changes", "analysis.assortment_joint_changes")
MAY_READ = {name: needs for source in SOURCES for name, needs in source.reads.items()} | {
    name: (name,) for name in TOGETHER
}


def compute(question: Question) -> dict[str, pd.DataFrame]:
    """The tables of WRITES. A source whose tables are not there gives no action and is named in the totals."""
    found: list[Action] = []
    absent = []
    for source in SOURCES:
        tables = [question.found(name) for name in source.reads]
        if any(table is None for table in tables):
            absent.append(source.name)
        else:
            found += source.find(*tables)
    floor = Advice(**question.options.get("advice", {})).least_cents
    order = in_order(the_plan(priced_together(found, *(question.found(name) for name in TOGETHER)), floor))
    rows = ranked(order)
    return dict(zip(WRITES, (rows, totals(rows, absent), other_ways(order)), strict=True))


def the_plan(found: list[Action], floor: int) -> list[Action]:
    """Of the actions that are expected to bring the floor, a month or once, those to be done together; those that stand
    apart. What adds less than that to a greater one is another way; a plan falls with the action that opens it."""
    helped = {name for each in found for name, cents in each.joint_cents.items() if cents > 0}
    wanted = [each for each in found if each.replaces or each.is_part or may_bring(each, floor, helped)]
    together = done_together([each for each in wanted if each.is_in_sum])
    small = [each for each in together if not brings(each, floor)]
    if small:
        fallen = {each.plan for each in small if each.replaces}
        return the_plan(_without(small, [each for each in found if each.plan not in fallen], floor), floor)
    return [*together, *(each for each in wanted if not each.is_in_sum)]


def _without(small: list[Action], found: list[Action], floor: int) -> list[Action]:
    """The actions without those that bring too little even alone; others of them exclude what lessens them."""
    named = [(each.action_kind, each.plan, each.facts) for each in small]
    is_small = [(each.action_kind, each.plan, each.facts) in named for each in found]
    evidence = {each.evidence for each, small in zip(found, is_small, strict=True) if small}
    return [
        replace(each, joint_cents=_kept(each.joint_cents, set(each.joint_cents) if small else evidence))
        for each, small in zip(found, is_small, strict=True)
        if not small or brings(each, floor)
    ]


def _kept(joint: Mapping[str, int], untied: Set[str]) -> dict[str, int]:
    return {name: cents for name, cents in joint.items() if cents >= 0 or name not in untied}


def may_bring(action: Action, floor: int, helped: Set[str]) -> bool:
    """Whether it brings so much, or another makes it bring more, which either may say: `helped` by evidence."""
    return brings(action, floor) or action.evidence in helped or any(cents > 0 for cents in action.joint_cents.values())


def brings(action: Action, floor: int) -> bool:
    """Whether it is expected to bring so much, a month or once."""
    return max(action.expected_month_cents, round(action.confidence * action.once_cents)) >= floor


def in_order(actions: list[Action]) -> list[Action]:
    """First what counts in the sum, by what is to be expected of it in a year; then what stands apart."""
    return sorted(actions, key=lambda each: (not each.is_in_sum, -each.worth, str(each.facts)))


def ranked(order: list[Action]) -> pd.DataFrame:
    """analysis.actions, in that order."""
    rows = [_row(place, each) for place, each in enumerate(order, start=1)]
    types = {"month_low_cents": "Int64", "month_high_cents": "Int64", "payback_months": "float64"}
    return answer(WRITES[0], rows).astype(types)


def other_ways(order: list[Action]) -> pd.DataFrame:
    """analysis.other_ways: of each action that excludes others the best of these, and how many more there are."""
    rows = [
        {"place": place, **_facts(each.other_ways[0]), "more_way_count": len(each.other_ways) - 1}
        for place, each in enumerate(order, start=1)
        if each.other_ways
    ]
    return answer(WRITES[2], rows)


def _facts(action: Action) -> dict[str, object]:
    return {"action_kind": action.action_kind, "evidence": action.evidence[:LONGEST_TEXT], **action.facts}


def payback_months(action: Action) -> float | None:
    """Months until what is expected of it has paid what it costs once; None where it costs nothing or never pays."""
    month = action.expected_month_cents
    return action.once_cost_cents / month if action.once_cost_cents > 0 and month > 0 else None


def _row(place: int, action: Action) -> dict[str, object]:
    low, high = action.month_limits or (None, None)
    return {
        "place": place,
        **_facts(action),
        "is_in_sum": action.is_in_sum,
        "expected_month_cents": action.expected_month_cents,
        "expected_once_cents": round(action.confidence * action.once_cents),
        "saving_month_cents": action.saving_cents,
        "month_low_cents": low,
        "month_high_cents": high,
        "once_cents": action.once_cents,
        "once_cost_cents": action.once_cost_cents,
        "payback_months": payback_months(action),
        "confidence": action.confidence,
        "confidence_words": confidence_words(action.confidence),
        "parcel_count": action.parcel_count,
        "due_on": pd.NaT if action.due_on is None else pd.Timestamp(action.due_on),
        "other_month_cents": action.other_month_cents if action.other_ways else None,
    }


def totals(rows: pd.DataFrame, absent: list[str]) -> pd.DataFrame:
    """analysis.action_totals: one row, of the actions in the sum; the others are counted."""
    counted = rows[rows["is_in_sum"].astype(bool)]
    return pd.DataFrame(
        {
            "action_count": [len(counted)],
            "expected_month_cents": [int(counted["expected_month_cents"].sum())],
            "expected_once_cents": [int(counted["expected_once_cents"].sum())],
            "once_cost_cents": [int(counted["once_cost_cents"].sum())],
            "apart_count": [len(rows) - len(counted)],
            "not_looked_at": [", ".join(absent) or "nothing"],
        }
    )
