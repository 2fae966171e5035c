"""The step that a claim waits for, by given terms and days."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from models.claims.steps import open_steps

TODAY = date(2026, 11, 29)
# Step: term in days and the day from which it counts.
TERMS = {
    "notice": (7, "delivered_on"),
    "filing": (60, "shipped_on"),
    "answer": (30, "filed_on"),
    "appeal": (10, "decided_on"),
}


def claim(state: str, name: str = "C1", **days: date) -> list[dict[str, Any]]:
    """A claim as it is asked for: a row for each term of its tariff."""
    known = dict.fromkeys(("opened_on", "filed_on", "decided_on", "appealed_on", "delivered_on"))
    head = {"claim_id": name, "claim_state": state, "shipped_on": date(2026, 10, 5), **known, **days}
    return [
        {**head, "claim_step": step, "term_length": length, "term_unit": "days", "term_start": start}
        for step, (length, start) in TERMS.items()
    ]


def waiting(rows: list[dict[str, Any]]) -> tuple[str, date | None] | None:
    ((_, due),) = open_steps(rows, TODAY)
    return (due.step, due.due_on) if due else None


@pytest.mark.parametrize(
    ("rows", "step"),
    [
        (claim("reported"), ("filing", date(2026, 12, 4))),
        # The carrier is told before the claim is filed; a day that has passed still stands.
        (claim("reported", delivered_on=date(2026, 10, 8)), ("notice", date(2026, 10, 15))),
        (claim("filed", filed_on=date(2026, 11, 20)), ("answer", date(2026, 12, 20))),
        (claim("refused", filed_on=date(2026, 11, 1), decided_on=date(2026, 11, 25)), ("appeal", date(2026, 12, 5))),
        (claim("paid in part", decided_on=date(2026, 11, 25)), ("appeal", date(2026, 12, 5))),
        (claim("appealed", decided_on=date(2026, 11, 25), appealed_on=date(2026, 11, 26)), None),
    ],
)
def test_the_first_deadline_that_the_state_leaves_open(
    rows: list[dict[str, Any]], step: tuple[str, date] | None
) -> None:
    assert waiting(rows) == step


def test_without_a_tariff_no_deadline_is_known_and_each_claim_stands_once() -> None:
    bare = [
        {**claim("reported", "C2")[0], "claim_step": None, "term_length": None, "term_unit": None, "term_start": None}
    ]
    found = open_steps([*claim("reported"), *bare], TODAY)
    assert [(row["claim_id"], due.step if due else None) for row, due in found] == [("C1", "filing"), ("C2", None)]
