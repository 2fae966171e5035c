"""Twenty questions of an owner, answered from the page alone, of the demo and of a shop that is not the demo.

The expected answer is computed from the warehouse by the question's own SQL; the found one is read in headless Chromium
where the question's steps lead, and only if it shows. An action is a click, an unfolding or a choice.
"""

from __future__ import annotations

import datetime as dt
import io
import re
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import redirect_stdout
from pathlib import Path
from statistics import median
from typing import Any

from pipelines.cli import main
from pipelines.shop import warehouse
from pipelines.shop.settings import load
from tests.benchmarks.questions import QUESTIONS, Question
from tests.dashboards.visits import chromium
from tests.odd_shops import reviewing
from tests.odd_shops.plans import PLANS
from tests.odd_shops.trade import shop

OTHER = PLANS["metric and euros"]
FEWEST_RIGHT, MOST_ACTIONS = 18, 2
Answer = tuple[Any, ...] | None


def run() -> Iterator[tuple[str, float, float]]:
    """Per shop: questions answered otherwise than the warehouse says, and the median of actions."""
    with tempfile.TemporaryDirectory() as folder, chromium() as browser:
        for name, (place, month) in _shops(Path(folder)).items():
            wrong = asked(browser.new_page(), place, month)
            print(*(f"    {each}" for each in wrong), sep="\n")
            yield f"{name}: questions of {len(QUESTIONS)} not answered", len(wrong), len(QUESTIONS) - FEWEST_RIGHT
    yield "actions to an answer, median", median(len(each.steps) for each in QUESTIONS), MOST_ACTIONS


def _shops(folder: Path) -> dict[str, tuple[Path, dt.date]]:
    with redirect_stdout(io.StringIO()):
        main(["demo", str(folder / "demo")])
    other = reviewing.reviewed(folder / "other", shop(OTHER))
    return {"demo": (folder / "demo", dt.date(2026, 10, 1)), OTHER.name: (other, OTHER.month)}


def asked(page: Any, folder: Path, month: dt.date, questions: Sequence[Question] = QUESTIONS) -> list[str]:
    """Those of the questions that the month's page answers otherwise than the warehouse."""
    with warehouse.reading(load(folder)) as connection:
        answers = [connection.execute(each.sql.format(month=month)).fetchone() for each in questions]
    address = (folder / "reviews" / f"review-{month:%Y-%m}.html").as_uri()
    found = [read(page, address, each, answer) for each, answer in zip(questions, answers, strict=True)]
    return [
        f"{question.asked} {answer} on record, found {texts}"
        for question, answer, texts in zip(questions, answers, found, strict=True)
        if not is_right(texts, None if answer is None else answer[question.given :])
    ]


def read(page: Any, address: str, question: Question, answer: Answer) -> list[str]:
    """The texts that a reader sees after the question's steps; fewer where nothing shows."""
    given = [str(part) for part in answer or ("",) * 9]
    page.goto("about:blank")
    page.goto(address)
    for step in question.steps if answer else ():
        _take(page, step, given)
    places = [page.locator(_filled(at, given)).first for at in question.at]
    return [place.text_content().strip() for place in places if place.count() and place.is_visible()]


def _filled(selector: str, given: Sequence[str]) -> str:
    return re.sub(r"\{(\d)\}", lambda found: given[int(found[1])], selector)


def _take(page: Any, step: Sequence[str], given: Sequence[str]) -> None:
    if step[0] == "unfold":
        page.locator(f"#{step[1]} > details > summary").first.click()
    else:
        _, chapter, column, at = step
        page.select_option(f"#chapter-{chapter} select[data-filter={column}]", label=given[int(at)])


def is_right(texts: Sequence[str], answer: Answer) -> bool:
    """Whether the texts say the answer, each number to the digits that it is written with."""
    if answer is None or answer == (None,):
        return not texts
    return len(texts) == len(answer) and all(_says(*pair) for pair in zip(texts, answer, strict=True))


def _says(text: str, value: object) -> bool:
    if isinstance(value, dt.date):
        return text.lstrip("0") == f"{value.day} {value:%b %Y}"
    if isinstance(value, str):
        return text.casefold() == value.casefold()
    number = re.sub(r"[^\d.-]", "", text)
    digits = len(number.partition(".")[2])
    if not re.search(r"\d", number):
        return False
    scale = 1.0 if number == text.replace(",", "") else 0.01  # a plain number counts; others are percent or cents
    expected = float(value) * (100 if text.endswith("%") else scale)  # type: ignore[arg-type]
    return abs(float(number) - expected) <= 0.5 * 10.0**-digits + 1e-6
