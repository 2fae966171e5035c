"""Every surface says the same of a deadline the day before it, on it and the day after it."""

from __future__ import annotations

import ast
import datetime as dt
from functools import cache
from pathlib import Path

import pandas as pd
import pytest

from dashboards import sentences
from dashboards.damage_words import report_lines
from dashboards.due_words import due_lines
from dashboards.explanation import dispute
from dashboards.letter_contents import content
from dashboards.sections import all_sections
from dashboards.views import view
from models.plain_rows import as_dicts
from models.shop_units import Units
from tests.dashboards import shop
from tests.dashboards.sentences.cases import row, states
from tests.syntax_trees import trees

LAST = dt.date(2026, 11, 13)
WRITTEN, NO_CHANGES = "13 Nov 2026", pd.DataFrame(columns=["measure", "amount_before", "amount_after"])
DISPUTES, CLAIMS, ACTIONS = "marts.billing_disputes", "analysis.claim_steps", "analysis.actions"


def tables() -> dict[str, pd.DataFrame]:
    """A dispute, a claim and the first action, each with that deadline, all open when the records end."""
    last, known = pd.Timestamp(LAST), {"carrier": "Northline", "outstanding_cents": 2_905, "item_type": "tripod"}
    known |= {"own_evidence": "zone 3", "billed_evidence": "zone 5", "dispute_state": "open"}
    known |= {"over_cents": 2_905, "credited_cents": 0}
    cause = {"difference_class": "wrong zone", "dispute_id": "P1/wrong-zone"}
    claim = {"claim_id": "CL-9", "claim_step": "filing", "is_in_time": True, "item_type": "tripod"}
    return {
        **row(DISPUTES, last_dispute_on=last, is_disputable=True, **known, **cause),
        **row(CLAIMS, step_due_on=last, **claim),
        **row(ACTIONS, place=1, action_words="Dispute 1 charge", due_on=last, is_in_sum=True, other_way=None),
        **row("analysis.action_totals", action_count=1, apart_count=0, not_looked_at="nothing"),
        **states(claims=3, charges=9),
    }


@cache
def said(day: dt.date) -> dict[str, str]:
    """What each surface says when it is made on the day, by surface."""
    made_at, units = dt.datetime.combine(day, dt.time(6, 30)), Units("USD")
    known = shop.review(tables={**shop.tables(), **tables()}, made_at=made_at)
    letter = content(known, 1, NO_CHANGES)
    return {
        "page": " ".join(line for each in all_sections() for line in sentences.lines(each.lead, known, units)),
        "letter": " | ".join(point.words for block in letter.blocks for point in block.points),
        "watch and status": " ".join(due_lines(tables(), units, made_at)),
        "disputes": "".join(dispute(each, units, made_at) for each in as_dicts(tables()[DISPUTES])),
        "damage": " ".join(report_lines({**_quiet(), **tables()}, units, ["tripod"], made_at)),
    }


def _quiet() -> dict[str, pd.DataFrame]:
    names = ("analysis.damage_rates", "analysis.packing_decision", "analysis.reporting_lag", "marts.claim_deadlines")
    return {name: rows for each in (*names, "analysis.method_comparison") for name, rows in row(each).items()}


SURFACES = {
    "page": ("dispute", "action"),
    "letter": ("dispute mailed", "claim mailed", "action mailed"),
    "watch and status": ("dispute", "claim"),
    "disputes": ("listed",),
    "damage": ("claim",),
}
# What stands for a deadline to come, and for one that has passed.
WORDS = {
    "dispute": (f"next deadline for a dispute is {WRITTEN}", f"the deadline was {WRITTEN}"),
    "listed": (f"Dispute by {WRITTEN}", f"the deadline was {WRITTEN}"),
    "claim": (f"due this week, filing by {WRITTEN}", f"overdue, the deadline for filing was {WRITTEN}"),
    "dispute mailed": (f"{WRITTEN}: dispute, wrong zone", f"{WRITTEN} (overdue): dispute, wrong zone"),
    "claim mailed": (f"{WRITTEN}: claim CL-9, filing", f"{WRITTEN} (overdue): claim CL-9, filing"),
    "action mailed": (f"by {WRITTEN} |", f"by {WRITTEN}, overdue"),
    "action": (f"Its first deadline is {WRITTEN}", f"Its first deadline, {WRITTEN}, has passed"),
}


@pytest.mark.parametrize("surface", SURFACES)
@pytest.mark.parametrize("days", [-1, 0, 1])
def test_each_surface_says_the_same_of_a_deadline(surface: str, days: int) -> None:
    words = said(LAST + dt.timedelta(days=days))[surface]
    for what in SURFACES[surface]:
        to_come, passed = WORDS[what]
        assert (to_come in words, passed in words) == (days <= 0, days > 0), what


@pytest.mark.parametrize("days", [0, 1])
def test_tables_of_the_page_mark_a_deadline_that_has_passed(days: int) -> None:
    made_at = dt.datetime.combine(LAST + dt.timedelta(days=days), dt.time(6, 30))
    due = row("marts.claim_deadlines", claim_due_on=pd.Timestamp(LAST), claim_task="file", is_in_time=True)
    known = shop.review(tables={**shop.tables(), **tables(), **due}, made_at=made_at)
    parts = {part.name: part for section in all_sections() for part in section.parts}
    for name in ("next-actions", "damage-claims-due", "disputes"):
        cells = {cell.text for line in view(parts[name], known).lines for cell in line.cells}
        assert (WRITTEN in cells, f"{WRITTEN}, overdue" in cells) == (days == 0, days == 1), name


CLOCKS = {"now", "today", "utcnow", "time", "monotonic", "perf_counter", "process_time", "localtime", "gmtime"}
OWNERS = {"datetime", "date", "dt", "time", "Timestamp", "pd"}


def asks(tree: ast.AST) -> list[str]:
    """Calls such as datetime.now(), date.today(), time.time(), pd.Timestamp.now()."""
    calls = [node.func for node in ast.walk(tree) if isinstance(node, ast.Call)]
    owned = [(ast.unparse(call.value).split(".")[-1], call.attr) for call in calls if isinstance(call, ast.Attribute)]
    return [f"{owner}.{name}" for owner, name in owned if name in CLOCKS and owner in OWNERS]


def test_no_computation_and_no_surface_asks_the_clock() -> None:
    wrong = {name: found for name, tree in trees("models", "dashboards").items() if (found := asks(tree))}
    assert wrong == {}
    assert asks(ast.parse("import datetime as dt\ndt.datetime.now()\npd.Timestamp.today()")) != []


def test_no_sql_asks_the_clock() -> None:
    words = ("current_date", "current_timestamp", "now()", "today()", "localtime", "get_current_time")
    folder = Path(__file__).parents[2] / "models" / "sql"
    texts = {path.name: path.read_text(encoding="utf-8").lower() for path in folder.rglob("*.sql")}
    assert len(texts) > 100
    assert {name for name, text in texts.items() if any(word in text for word in words)} == set()
