"""Every sentence of a claim's sheet by its id: the sheet that makes it true, and those that must suppress it."""

from __future__ import annotations

import re
import subprocess
import sys

import pytest

from dashboards import claim_sheet
from dashboards.sentences.claim_sheet import SheetEntry, entries, stated
from tests.dashboards.sentences.sheet_cases import CASES, FILE, FILING, NOTICE, SheetCase, sheet

PLACES = (claim_sheet.NEXT, claim_sheet.EVIDENCE, claim_sheet.RECOVERY, claim_sheet.LESSON)


def test_each_id_has_a_case_and_a_place() -> None:
    assert sorted(CASES) == sorted(entries()) == sorted(id for place in PLACES for id in place)


@pytest.mark.parametrize("id", sorted(CASES))
def test_it_is_reported_where_the_sheet_proves_it_and_suppressed_where_it_does_not(id: str) -> None:
    case: SheetCase = CASES[id]
    (said,) = stated([id], case.shows)
    assert case.says in said and not re.search(r"[{}]|None", said)
    assert [stated([id], each) for each in case.hides] == [[]] * len(case.hides)


def test_a_sentence_with_an_unknown_fact_is_not_reported() -> None:
    entry = SheetEntry("sheet.x", "{what} and {other}.")
    assert list(entry.stated(FILE, {"what": "one"})) == []
    assert list(entry.stated(FILE, {"what": "one", "other": "two"})) == ["one and two."]


def test_two_deadlines_that_passed_agree_in_number() -> None:
    late = sheet(terms=[NOTICE, FILING], shipped=40)
    assert stated(["sheet.passed"], late) == ["The deadlines to tell the carrier and to file the claim have passed."]


def test_a_sheet_loads_no_table() -> None:
    """The command answers within a second: pandas alone would take most of it."""
    code = "import sys, dashboards.claim_sheet; print('pandas' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"
