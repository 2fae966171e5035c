"""What is asked of a file, and which of its columns are offered as answers."""

from __future__ import annotations

from models.column_map import Sample, propose
from models.column_map.questions import open_questions
from models.reference import RECORDS
from tests.models.column_map.carrier_exports import INVOICE


def test_a_column_of_currencies_answers_no_question() -> None:
    headers = ("Currency", "Shop note", *INVOICE.sample.headers[1:])
    rows = tuple(("usd", f"note {n}", *row[1:]) for n, row in enumerate(INVOICE.rows))
    sample = Sample(headers, rows)
    proposal = propose(RECORDS["charges"], sample)
    assert "carrier" in proposal.missing and {"Currency", "Shop note"} <= set(proposal.unused)
    asked = {question.option: question for question in open_questions(proposal, RECORDS["charges"], sample)}
    carrier = asked["--column carrier={}"]
    assert "Currency" not in carrier.choices and "Shop note" in carrier.choices
