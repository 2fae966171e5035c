"""What cells prove of their decimal mark, what they leave open, and what a whole file settles."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.cells.decimal_marks import ambiguous_numbers, decimal_marks, proven_by, settled_marks
from models.cells.texts import Reading, read_cell
from models.fields import Quantity
from tests.sampling import tries


@pytest.mark.parametrize(
    ("texts", "marks"),
    [
        (["1.234,50"], {","}),
        (["1,234.50"], {"."}),
        (["18,5"], {","}),
        (["€ 18,50", "12"], {","}),
        (["$18.50"], {"."}),
        (["1,234"], set()),  # a thousand and more, or one and a bit
        (["0,125"], {","}),
        (["1234,567"], {","}),
        (["1,234,567"], {"."}),
        (["1.234.567"], {","}),
        (["(12,30)", "-4,5 kg"], {","}),
        (["1,5", "1.5"], {",", "."}),
        (["12", "", "n/a"], set()),
        (["1.500"], set()),
        (["1.500 lb", "$1,500"], set()),
        (["0.500"], {"."}),
        (["1234.567"], {"."}),
        (["12.50 EUR"], {"."}),
        (["kr. 12,5"], {","}),
        (["Rs.500"], set()),
        ([".5"], {"."}),
        (["1 234,5"], {","}),
        (["1\u202f234,500"], {","}),
        (["1'234.500"], {"."}),
        (["1,125E+03"], {","}),
        (["31.12.2025", "9:30", "0.123.456", "012,345.6.7"], set()),
        (["1.23.456"], set()),
    ],
)
def test_decimal_marks(texts: list[str], marks: set[str]) -> None:
    assert decimal_marks(texts) == marks


def test_a_number_written_as_a_number_proves_nothing_of_the_texts_beside_it() -> None:
    assert decimal_marks(["1.1250", "12.5", "1.5e-07", "-3.25"], is_typed=True) == frozenset()
    assert decimal_marks(['12.5"', "7"], is_typed=True) == {"."}
    assert decimal_marks(["12,5", "7"], is_typed=True) == {","}
    # It may have been a text, and then the column writes both.
    assert decimal_marks(["12,5", "12.5"], is_typed=True) == {",", "."}


def test_what_reads_in_two_ways() -> None:
    texts = ["1,234", "1.500 kg", "$999.999", "1.500 lb 4 oz", "Rs.1,500"]
    assert ambiguous_numbers(texts) == texts
    assert ambiguous_numbers(["12", "1,5", "0.500", "1234.567", "1,234.5", "1,234,567", "1.1250", "12.50"]) == []


@pytest.mark.parametrize(
    ("proofs", "marks"),
    [
        ({"a": ",", "b": ""}, {"a": ",", "b": ","}),
        ({"a": ",", "b": ".", "c": ""}, {"a": ",", "b": ".", "c": None}),
        ({"a": ",.", "b": "", "c": "."}, {"a": None, "b": None, "c": "."}),
        ({"a": "", "b": ""}, {"a": None, "b": None}),
    ],
)
def test_a_column_without_proof_takes_the_mark_of_the_whole_file(
    proofs: dict[str, str], marks: dict[str, str | None]
) -> None:
    assert settled_marks({name: frozenset(each) for name, each in proofs.items()}) == marks


@given(st.text("0123456789.,' e+-", min_size=1, max_size=12))
@settings(derandomize=True, deadline=None, max_examples=tries(500))
def test_what_proves_a_mark_cannot_be_read_with_the_other(text: str) -> None:
    mark = proven_by(text)
    if mark is None:
        return
    other = "," if mark == "." else "."
    assert read_cell(text, Reading(Quantity.NUMBER, decimal=other)).value is None
