"""The same fact has the same number on page, index, letter, workbook, terminal and `--json`, in two shops: the demo,
and one that measures in centimetres. Every figure is read back by other means than it was written with.
"""

from __future__ import annotations

import json
import re
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path
from typing import Any

import pandas as pd
import pytest
from openpyxl import load_workbook

from dashboards import letter_contents
from dashboards.review import render
from dashboards.review_tables import Review
from dashboards.workbook import MONTH, workbook
from models import columns
from models.fields import Quantity
from models.plain_rows import as_dicts
from models.shop_units import Units
from models.tables import TABLES
from pipelines.review import runs
from pipelines.shop import settings
from tests.dashboards.markup import parsed
from tests.odd_shops import surfaces, walking
from tests.one_fact import stated, terminal
from tests.one_fact.stated import Stated
from tests.one_fact.values import Value, number, written

pytestmark = pytest.mark.slow(25)

REVIEWED = "2026-10"
FIGURES = (Quantity.MONEY, Quantity.COUNT, Quantity.FRACTION)
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
    review: Review
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
    month, tables = runs.month_tables(shop, REVIEWED)
    reviews = folder / "reviews"
    pages = {"page": f"review-{REVIEWED}.html", "index": "index.html"}
    cells = [*stated.of_tables(tables), *stated.of_workbook(reviews / f"review-{REVIEWED}.xlsx", units)]
    made = Said(folder, units, cells, _review(shop, month, tables))
    for surface, name in pages.items():
        made.cells += stated.of_page(surface, (reviews / name).read_text(encoding="utf-8"), tables)
    made.answers = dict(_answers(folder))
    for command, (_, found) in made.answers.items():
        made.cells += stated.of_json(command, found) if not command.startswith("claim ") else ()
    return made


def _review(shop: settings.Settings, month: date, tables: dict[str, pd.DataFrame]) -> Review:
    name, units = shop.shop.name, shop.shop.shown_units
    return Review(tables=tables, shop_name=name, units=units, month=month, made_at=settings.now_at(shop))


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
    alone = sum("warehouse" not in names for names in surfaces_of.values())
    assert alone < len(surfaces_of) // 10, "nearly all that is stated is held against the warehouse itself"
    assert {"warehouse", "page", "index", "workbook", "status", "damage"} <= {each.surface for each in said.cells}


def changed(review: Review, places: Iterable[stated.Place]) -> Review:
    """The review drawn from tables in which these cells are other than in the warehouse."""
    tables = dict(review.tables)
    for table, key, column in places:
        rows = tables[table].copy()
        at = next(at for at, row in enumerate(as_dicts(rows)) if stated.key_of(row, table) == key)
        before = rows[column].astype("float64") if columns.quantity(column) is Quantity.FRACTION else rows[column]
        rows[column] = before.where(rows.index != rows.index[at], _other(before.iloc[at], column))
        tables[table] = rows
    return replace(review, tables=tables)


def _other(value: Any, column: str) -> Any:
    """Another value of the column, far enough off to be written otherwise."""
    return value / 2 + 0.2 if columns.quantity(column) is Quantity.FRACTION else value + 12_300


def _first_of_each(cells: Iterable[Stated], surface: str) -> dict[str, stated.Place]:
    """Of each table one figure that the surface states: none of its key."""
    found: dict[str, stated.Place] = {}
    for each in cells:
        table, _, column = each.place
        is_figure = isinstance(each.value.read, float) and columns.quantity(column) in FIGURES
        if each.surface == surface and is_figure and column not in TABLES[table].key:
            found.setdefault(table, each.place)
    return found


@pytest.mark.parametrize("surface", ["page", "workbook"])
def test_a_figure_changed_on_its_way_to_a_surface_is_found(said: Said, surface: str, tmp_path: Path) -> None:
    """Of each table that the surface shows one cell is changed, for this surface alone."""
    true = [each for each in said.cells if each.surface == "warehouse"]
    known = {each.place for each in true}
    planted = {place for place in _first_of_each(said.cells, surface).values() if place in known}
    review = changed(said.review, planted)
    if surface == "page":
        drawn = [*stated.of_page(surface, render(review), said.review.tables)]
    else:
        (tmp_path / "review.xlsx").write_bytes(workbook(review))
        drawn = [*stated.of_workbook(tmp_path / "review.xlsx", said.units)]
    shown = planted & {each.place for each in drawn}
    found = {each.place for pair in stated.conflicts([*true, *drawn]) for each in pair}
    assert len(shown) > len(planted) // 2 > 8
    assert shown <= found


def test_a_figure_changed_on_its_way_to_an_answer_is_found(said: Said) -> None:
    true = {each.place: each for each in said.cells if each.surface == "warehouse"}
    for command in said.answers:
        told = [each for each in said.cells if each.surface == command and each.place in true]
        for each in [each for each in told if isinstance(each.value.read, float)][:20]:
            wrong = replace(each, value=Value(float(each.value.read or 0) + 1))
            assert stated.conflicts([true[each.place], wrong]), (command, each)


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


def test_every_figure_changed_in_a_table_of_the_terminal_is_found(said: Said) -> None:
    """In each table of each command, the last figure of the first cell that is an amount."""
    planted = 0
    for command, (text, found) in said.answers.items():
        for _, rows in terminal.tables(text) if not command.startswith("claim ") else ():
            cell = next((cell for cell in rows[0] if terminal.FIGURE.fullmatch(cell) and cell[-1].isdigit()), "")
            if not cell or text.count(f" {cell}") != 1:
                continue
            planted += 1
            wrong = text.replace(f" {cell}", f" {cell[:-1]}{(int(cell[-1]) + 1) % 10}")
            assert list(terminal.strange_rows(wrong, found, said.units)), (command, cell)
    assert planted > 5


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


def test_a_letter_says_what_the_page_says_in_the_same_words(said: Said) -> None:
    """And a figure changed on its way to the letter alone stands in a sentence that the page has not."""
    on_page = _squeezed(said.page)
    assert _unsaid(letter_contents.content(said.review, 1, pd.DataFrame()), on_page) == []
    month = str(said.review.month)
    for table, column in (("analysis.completed_months", "completed_margin_cents"), ("analysis.causes", "cause_cents")):
        (place, *_) = [
            each.place
            for each in said.cells
            if each.surface == "warehouse" and each.place[0] == table and each.place[2] == column
            if each.place[1][0] == month
        ]
        assert _unsaid(letter_contents.content(changed(said.review, [place]), 1, pd.DataFrame()), on_page)


def _unsaid(letter: letter_contents.Content, page: str) -> list[str]:
    """What of the letter does not stand on the page."""
    points = [point for block in letter.blocks[:1] for point in block.points]
    said = [letter.heading, *letter.paragraphs, *(cell for row in letter.months for cell in row)]
    said += [text for point in points for text in (point.worth, point.words)]
    return [text for text in said if _squeezed(text) not in page]


def _squeezed(text: str) -> str:
    """Without blanks: cells within a sentence are elements of their own."""
    return "".join(text.split()).casefold()


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
