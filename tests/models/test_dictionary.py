"""The data dictionary says what the contracts say, and only that."""

from __future__ import annotations

import pandas as pd
import pytest

from models.contracts import validated
from models.dictionary import allowed, entries, markdown, spoken
from models.fields import choice, date, fraction, inches, text
from models.reference import RECORDS
from models.shop_units import Units

INCHES = Units("USD")


@pytest.mark.parametrize("kind", RECORDS)
def test_every_column_has_a_line(kind: str) -> None:
    written = markdown(INCHES, [kind])
    lines = [line for line in written.splitlines() if line.startswith("| `")]
    assert [line.split("`")[1] for line in lines] == list(RECORDS[kind].columns)
    assert all(line.count("|") == 7 for line in lines)
    assert all(rule.reason in written for rule in RECORDS[kind].rules)


def test_all_kinds_in_order() -> None:
    headings = [line.removeprefix("### ") for line in markdown(INCHES).splitlines() if line.startswith("### ")]
    assert headings == list(RECORDS)


@pytest.mark.parametrize("kind", RECORDS)
def test_the_examples_together_keep_the_contract(kind: str) -> None:
    example = {name: [column.example] for name, column in RECORDS[kind].columns.items()}
    assert len(validated(pd.DataFrame(example), RECORDS[kind], "the example row")) == 1


def test_one_line_word_for_word() -> None:
    found = {entry.column: entry for entry in entries(RECORDS["weights"], INCHES)}
    assert found["scale_weight_lb"].allowed == "above 0 to 10,000"
    assert not found["scale_weight_lb"].is_needed
    assert "| `billed_length_in` | Longest side billed | in |  | 49.0 | above 0 to 1,000 |" in markdown(
        INCHES, ["charges"]
    )


def test_limits_in_words() -> None:
    assert allowed(choice("Kind", "a", ("a", "b")).in_record()) == "a, b"
    assert allowed(text("Word", "a").in_record()) == "one line, 200 characters"
    assert allowed(fraction("Share", 0.5).in_record()) == "0 to 1"
    assert allowed(inches("Gap", 0, zero=True, most=5).in_record()) == "0 to 5"
    assert allowed(date("Day", "2026-01-01").in_record()) == "2000-01-01 to 2100-01-01"


def test_values_as_written_in_files() -> None:
    assert [spoken(value) for value in (True, False, 49.0, 0.16, 1e-6, 18900, "C-08")] == [
        "yes",
        "no",
        "49.0",
        "0.16",
        "0.000001",
        "18900",
        "C-08",
    ]
