"""The demo's page answers an owner's questions. The bench asks them of another shop as well."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from statistics import median

import pytest

from tests.benchmarks.bench_questions import FEWEST_RIGHT, MOST_ACTIONS, asked, is_right
from tests.benchmarks.questions import QUESTIONS
from tests.dashboards.visits import PATIENCE, chromium
from tests.sampling import tries

pytestmark = [pytest.mark.browser, pytest.mark.slow]


def test_the_page_answers_what_an_owner_asks(demo_folder: Path) -> None:
    with chromium() as browser:
        page = browser.new_page()
        page.set_default_timeout(PATIENCE)
        wrong = asked(page, demo_folder, dt.date(2026, 10, 1), QUESTIONS[:: len(QUESTIONS) // tries(20, fewest=5)])
    assert len(QUESTIONS) == 20
    assert len(wrong) <= len(QUESTIONS) - FEWEST_RIGHT, wrong
    assert median(len(each.steps) for each in QUESTIONS) <= MOST_ACTIONS


def test_an_answer_is_right_to_the_digits_that_it_is_written_with() -> None:
    assert is_right(["Tripod", "-$1,033", "6.1%", "4 Dec 2026"], ("tripod", -103_305, 0.0608, dt.date(2026, 12, 4)))
    assert not is_right(["-$1,034"], (-103_305,))
    assert not is_right(["-$1,033.06"], (-103_305,))
    assert not is_right(["$1,033.05"], (-103_305,))
    assert not is_right(["6.2%"], (0.0608,))
    assert not is_right(["tripod"], ("mount",))
    assert not is_right([], (12,))
    assert not is_right(["12"], None)
