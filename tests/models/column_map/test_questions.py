"""What is asked of a file, and which of its columns are offered as answers."""

from __future__ import annotations

from dataclasses import replace

from models.column_map import Sample, propose
from models.column_map.questions import Question, open_questions
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


def test_where_no_header_is_left_the_example_leaves_the_column_out() -> None:
    """`--column service=no` would ask for a header named no."""
    asked = Question("Which column is service, or none?", ("no",), "--column service={}", "service")
    assert asked.example == "--without service"
    assert replace(asked, choices=("Product", "no")).example == "--column service=Product"
