"""The same fact has the same number on page, index, letter, workbook, terminal and `--json`, in two shops: the demo,
and one that measures in centimetres. Every figure is read back by other means than it was written with.
"""

from __future__ import annotations

import json
import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

from dashboards.workbook import MONTH
from models.shop_units import Units
from pipelines.review import runs
from pipelines.shop import settings
from tests.dashboards.markup import parsed
from tests.odd_shops import surfaces, walking
from tests.one_fact import stated, terminal
from tests.one_fact.stated import Stated
from tests.one_fact.values import Value, number, written

pytestmark = pytest.mark.slow(25)

REVIEWED = "2026-10"
COMMANDS = (
    *("status", "watch", "disputes", "disputes list --all", "damage", "decide", "trial list", "claims list --all"),
    *("claims insure", "intake --list", "rejects", "charges", "titles", "tariff zones", "bridge 2026-08 2026-10"),
    *(f"trace marts.{name} --month {REVIEWED}" for name in ("coverage", "item_type_costs", "shipping_margin")),
    "trace analysis.actions",
)


@dataclass
class Said:
    """What a shop's surfaces say. answers: of each command, what it prints and its JSON."""

    folder: Path
    units: Units
    cells: list[Stated]
    answers: dict[str, tuple[str, Any]] = field(default_factory=dict)

    @property
    def page(self) -> str:
        """All words of the page, those of different elements apart."""
        root = parsed((self.folder / f"reviews/review-{REVIEWED}.html").read_text(encoding="utf-8"))
        return " ".join(part for each in root.walk() for part in each.parts if isinstance(part, str))


@pytest.fixture(scope="module", params=["demo", "metric"])
def said(request: pytest.FixtureRequest) -> Said:
    return _said(request.getfixturevalue(f"{request.param}_folder"))


def _said(folder: Path) -> Said:
    shop = settings.load(folder)
    units = shop.shop.shown_units
    _, tables = runs.month_tables(shop, REVIEWED)
    reviews = folder / "reviews"
    pages = {"page": f"review-{REVIEWED}.html", "index": "index.html"}
    made = Said(folder, units, [*stated.of_workbook(reviews / f"review-{REVIEWED}.xlsx", units)])
    for surface, name in pages.items():
        made.cells += stated.of_page(surface, (reviews / name).read_text(encoding="utf-8"), tables)
    made.answers = dict(_answers(folder))
    for command, (_, found) in made.answers.items():
        made.cells += stated.of_json(command, found) if not command.startswith("claim ") else ()
    return made


def _answers(folder: Path) -> Iterator[tuple[str, tuple[str, Any]]]:
    of_parcels = [f"{command} {parcel}" for parcel in surfaces.parcels(folder)[:2] for command in ("explain", "claim")]
    of_lists = [f"tariff compare {path}" for path in sorted((folder / "tariffs").glob("*2026.toml"))[:1]]
    for command in (*COMMANDS, *of_parcels, *of_lists):
        words = command.split()
        yield command, (surfaces.printed(folder, *words), json.loads(surfaces.printed(folder, *words, "--json")))


def test_a_cell_has_the_same_value_wherever_it_stands(said: Said) -> None:
    assert stated.conflicts(said.cells) == []
    surfaces_of: dict[stated.Place, set[str]] = {}
    for each in said.cells:
        surfaces_of.setdefault(each.place, set()).add(each.surface)
    counts = Counter(min(len(names), 3) for names in surfaces_of.values())
    assert counts[2] > 900 and counts[3] > 100, "most cells of the page stand in workbook and answers, too"
    assert {"page", "index", "workbook", "status", "damage"} <= {each.surface for each in said.cells}


@pytest.mark.parametrize("surface", ["page", "workbook", "status"])
def test_another_value_on_one_surface_is_found(said: Said, surface: str) -> None:
    """Of each surface a figure that another one states is made more by one in its last place but one."""
    places = Counter(each.place for each in said.cells)
    wrong = next(
        at
        for at, each in enumerate(said.cells)
        if each.surface == surface and places[each.place] > 1 and isinstance(each.value.read, float)
    )
    cells = [*said.cells]
    cells[wrong] = replace(cells[wrong], value=Value(float(cells[wrong].value.read or 0) + 101))
    assert stated.conflicts(cells)


def test_what_a_terminal_shows_is_what_json_says(said: Said) -> None:
    strange, loose = {}, {}
    for command, (text, found) in said.answers.items():
        if not command.startswith("claim "):
            strange[command] = list(terminal.strange_rows(text, found, said.units))
        loose[command] = terminal.loose_figures(text, found)
    assert {command: rows for command, rows in strange.items() if rows} == {}
    assert {command: figures for command, figures in loose.items() if figures} == {}
    figures = [each for text, _ in said.answers.values() for each in terminal.FIGURE.findall(text)]
    assert len(figures) > 300


def test_another_figure_on_the_terminal_is_found(said: Said) -> None:
    text, found = said.answers["bridge 2026-08 2026-10"]
    (first,) = {text.split("\n")[0].split()[-1]}
    assert terminal.loose_figures(text.replace(first, f"{first}1"), found) == [f"{first}1"]
    text, found = said.answers[f"trace marts.item_type_costs --month {REVIEWED}"]
    heads, rows = next(terminal.tables(text))
    cell = next(cell for head, cell in zip(heads, rows[0], strict=True) if head == "Margin")
    wrong = cell[:-1] + str((int(cell[-1]) + 1) % 10)
    assert list(terminal.strange_rows(text.replace(cell, wrong, 1), found, said.units))


def figures(text: str) -> set[str]:
    """Amounts, shares and days of a text."""
    return {each.lstrip("+-−") for each in terminal.FIGURE.findall(text)}


def test_every_figure_of_letter_and_cover_stands_on_the_page(said: Said) -> None:
    (letter,) = sorted((said.folder / "reviews").glob(f"review-{REVIEWED}-letter-*.eml"))[-1:]
    book = load_workbook(said.folder / f"reviews/review-{REVIEWED}.xlsx", data_only=True)
    cover = " ".join(cell for row in book[MONTH].iter_rows(values_only=True) for cell in row if isinstance(cell, str))
    on_page = figures(said.page)
    for text in (walking.letter(letter), cover):
        assert len(figures(text)) > 3
        assert figures(text) - on_page == set()


def test_values_are_read_as_a_reader_reads_them() -> None:
    assert number("4 of 18").read == pytest.approx(4 / 18)
    assert [number(text).read for text in ("-51 3/16", "3/4", "$1,234.50", "€-3")] == [-51.1875, 0.75, 1234.5, -3.0]
    assert written("95.5%", "invoiced_share") == Value(0.955, 0.0005)
    assert written("$142", "margin_cents") == Value(14200, 50, is_bare=True)
    assert Value(14200, 50, is_bare=True).agrees(Value(-14167.0)) and not Value(14200, 50).agrees(Value(-14167.0))
    assert Value("2026-10").agrees(Value("2026-10-01")) and not Value("2026-1").agrees(Value("2026-10-01"))
    assert not Value("tripod").agrees(Value("tripod stand")) and Value("tripod st…").agrees(Value("tripod stand"))
    assert [written(text, "due_on") for text in ("5 Oct 2026, overdue", "n/a", "")] == [
        Value("2026-10-05"), Value(None), None,
    ]  # fmt: skip
    assert not Value(None).agrees(Value(0.0))
    assert re.fullmatch(terminal.FIGURE, "5 Oct 2026")
