"""An open claim with an amount claimed may be with the carrier already: that is asked, and not told to be filed."""

from __future__ import annotations

import pytest

from models.column_map import Answers, Question, Sample, open_questions, propose
from models.reference import RECORDS

CLAIMS = RECORDS["claims"]
HEADERS = ("Claim", "Label", "Reported on", "Cause", "State", "Claimed amount")


def asked(word: str, amount: str, **words: str) -> tuple[dict[str, str], list[Question]]:
    """The state's words as proposed, and what is asked of them; the amount stands on the open claims."""
    rows = [(f"C{n}", f"P{n}", f"2026-05-{n:02}", "damage", "Paid", "12.50") for n in range(1, 6)]
    rows += [(f"C{n}", f"P{n}", f"2026-05-{n:02}", "damage", word, amount) for n in range(6, 9)]
    answers = Answers(words={"claim_state": words} if words else {})
    sample = Sample(HEADERS, tuple(rows))
    found = propose(CLAIMS, sample, answers=answers)
    (state,) = (each for each in found.pairings if each.column == "claim_state")
    return dict(state.values), [each for each in open_questions(found, CLAIMS, sample) if each.column is None]


@pytest.mark.parametrize("word", ["Pending", "Open", "offen"])
def test_an_open_claim_with_an_amount_is_asked_about(word: str) -> None:
    values, (question,) = asked(word, "210.00")
    assert values[word] == "filed"
    assert question.words == f'What does "{word}" in "State" mean (claim_state)?'
    assert question.example == f"--word claim_state:{word}=filed"


def test_without_an_amount_it_is_one_that_the_buyer_reported() -> None:
    values, questions = asked("Pending", "")
    assert (values["Pending"], questions) == ("reported", [])


def test_an_answer_stands() -> None:
    values, questions = asked("Pending", "210.00", Pending="reported")
    assert (values["Pending"], questions) == ("reported", [])
