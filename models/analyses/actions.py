"""What to do next: actions from every table that knows one, ranked by what is to be expected of them in a year."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import pandas as pd

from models.actions.action import FACTS, Action, confidence_words
from models.actions.exclusive import one_row_each
from models.actions.money_back import claim_actions, dispute_actions
from models.actions.savings import (
    carton_actions,
    charge_actions,
    near_miss_actions,
    packing_actions,
    size_actions,
)
from models.actions.services import service_actions
from models.actions.sharing import shared_month_cents
from models.analyses.question import Question
from models.fields import LONGEST_TEXT
from models.settings.advice import Advice

WRITES = ("analysis.actions", "analysis.action_totals", "analysis.other_ways")
MONTHS = 12


@dataclass(frozen=True)
class Source:
    """Where actions come from. reads: table or query -> tables it needs. find: takes the tables in that order."""

    name: str
    reads: Mapping[str, tuple[str, ...]]
    find: Callable[..., list[Action]]


SOURCES = (
    Source(
        "disputes",
        {
            "action_disputes": ("marts.billing_disputes",),
            "action_dispute_outcomes": ("marts.billing_disputes",),
        },
        dispute_actions,
    ),
    Source(
        "claims",
        {"action_claims": ("marts.claim_deadlines",), "action_claim_outcomes": ("marts.claim_losses",)},
        claim_actions,
    ),
    Source("cartons in stock", {"action_cartons": ("analysis.best_cartons",)}, carton_actions),
    Source(
        "near misses",
        {"action_near_misses": ("marts.near_miss_totals",), "action_cartons": ("analysis.best_cartons",)},
        near_miss_actions,
    ),
    Source(
        "sizes to stock",
        {
            "analysis.assortment": ("analysis.assortment",),
            "analysis.purchase_advice": ("analysis.purchase_advice",),
            "analysis.assortment_saving": ("analysis.assortment_saving",),
            "action_sizes_kept": ("analysis.assortment_ladder",),
        },
        size_actions,
    ),
    Source("services", {"analysis.service_rules": ("analysis.service_rules",)}, service_actions),
    Source("packing methods", {"analysis.packing_decision": ("analysis.packing_decision",)}, packing_actions),
    Source("shipping charges", {"analysis.shipping_guidance": ("analysis.shipping_guidance",)}, charge_actions),
)
MAY_READ = {name: needs for source in SOURCES for name, needs in source.reads.items()}


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
    order = in_order(_above(floor, one_row_each(found)))
    rows = ranked(order)
    return dict(zip(WRITES, (rows, totals(rows, absent), other_ways(order)), strict=True))


def _above(floor: int, actions: list[Action]) -> list[Action]:
    """The actions that are expected to bring the floor, a month or once, whatever they share with others that do."""
    month = [round(each.confidence * cents) for each, cents in zip(actions, shared_month_cents(actions), strict=True)]
    once = [round(each.confidence * each.once_cents) for each in actions]
    kept = [each for each, *cents in zip(actions, month, once, strict=True) if max(cents) >= floor]
    return kept if len(kept) == len(actions) else _above(floor, kept)


def in_order(actions: list[Action]) -> list[Action]:
    """First what counts in the sum, by what is to be expected of it in a year; then what stands apart."""
    shares = shared_month_cents(actions)
    order = sorted(
        range(len(actions)),
        key=lambda at: (not actions[at].is_in_sum, -_worth(actions[at], shares[at]), str(actions[at].facts)),
    )
    return [actions[at] for at in order]


def ranked(order: list[Action]) -> pd.DataFrame:
    """analysis.actions, in that order. Savings are shared where they overlap."""
    shares = shared_month_cents(order)
    rows = [_row(place, each, cents) for place, (each, cents) in enumerate(zip(order, shares, strict=True), start=1)]
    limits = dict.fromkeys(("month_low_cents", "month_high_cents"), "Int64")
    return pd.DataFrame(rows, columns=[*_COLUMNS, *FACTS]).astype(limits)


def other_ways(order: list[Action]) -> pd.DataFrame:
    """analysis.other_ways: of each action that excludes others the best of these, and how many more there are."""
    rows = [
        {"place": place, **_facts(each.other_ways[0]), "more_way_count": len(each.other_ways) - 1}
        for place, each in enumerate(order, start=1)
        if each.other_ways
    ]
    return pd.DataFrame(rows, columns=["place", "action_kind", "more_way_count", "evidence", *FACTS])


def _worth(action: Action, month_cents: int) -> float:
    return action.confidence * (MONTHS * month_cents + action.once_cents)


_COLUMNS = (
    *("place", "action_kind", "is_in_sum", "expected_month_cents", "expected_once_cents", "saving_month_cents"),
    *("month_low_cents", "month_high_cents", "alone_month_cents", "once_cents", "confidence", "confidence_words"),
    *("parcel_count", "due_on", "other_month_cents", "evidence"),
)


def _facts(action: Action) -> dict[str, object]:
    return {"action_kind": action.action_kind, "evidence": action.evidence[:LONGEST_TEXT], **action.facts}


def _row(place: int, action: Action, month_cents: int) -> dict[str, object]:
    low, high = _limits(action, month_cents)
    return {
        "place": place,
        **_facts(action),
        "is_in_sum": action.is_in_sum,
        "expected_month_cents": round(action.confidence * month_cents),
        "expected_once_cents": round(action.confidence * action.once_cents),
        "saving_month_cents": month_cents,
        "month_low_cents": low,
        "month_high_cents": high,
        "alone_month_cents": action.alone_cents,
        "once_cents": action.once_cents,
        "confidence": action.confidence,
        "confidence_words": confidence_words(action.confidence),
        "parcel_count": action.parcel_count,
        "due_on": pd.NaT if action.due_on is None else pd.Timestamp(action.due_on),
        "other_month_cents": action.other_month_cents if action.other_ways else None,
    }


def _limits(action: Action, month_cents: int) -> tuple[int | None, int | None]:
    """The limits of the saving, of which the action has the same part as of the saving itself."""
    if action.month_limits is None or not action.alone_cents:
        return None, None
    low, high = (round(cents * month_cents / action.alone_cents) for cents in action.month_limits)
    return low, high


def totals(rows: pd.DataFrame, absent: list[str]) -> pd.DataFrame:
    """analysis.action_totals: one row, of the actions in the sum; the others are counted."""
    counted = rows[rows["is_in_sum"].astype(bool)]
    return pd.DataFrame(
        {
            "action_count": [len(counted)],
            "expected_month_cents": [int(counted["expected_month_cents"].sum())],
            "expected_once_cents": [int(counted["expected_once_cents"].sum())],
            "apart_count": [len(rows) - len(counted)],
            "not_looked_at": [", ".join(absent) or "nothing"],
        }
    )
