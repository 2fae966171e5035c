"""What a reader meets on the surfaces of an odd shop, and what is wrong with it."""

from __future__ import annotations

import email
import email.policy
import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from openpyxl import load_workbook

from tests.dashboards.markup import Element, parsed
from tests.odd_shops import oracle
from tests.odd_shops.plans import Plan

NONE = "–"
ZERO = re.compile(r"^-?(\D{0,4}0(\.0+)?%?)$")
# A share of claims by their age and the chance of an action, not shares of parcels.
OF_CLAIMS = ("Share reported", "Chance")
PERCENT = re.compile(r"\d%")
VERDICT = re.compile(r"lost money|paid for itself|\bbetter than\b|\bworse than\b")
VACUOUS = (
    "There is nothing to show here",
    "There are no more",
    "100.0% of the month's parcels",
    "100% of the month's parcels",
)


@dataclass
class Table:
    """A table as seen."""

    name: str
    heads: list[str]
    rows: list[list[str]]

    def column(self, head: str) -> list[str]:
        """The cells under a header."""
        at = self.heads.index(head)
        return [row[at] for row in self.rows]


@dataclass
class Walk:
    """A page as seen: its sections' sentences by section, its tables, titles of parts without a table."""

    sentences: dict[str, list[str]] = field(default_factory=dict)
    tables: dict[str, Table] = field(default_factory=dict)
    empty_parts: list[str] = field(default_factory=list)
    empty_sections: list[str] = field(default_factory=list)

    @property
    def text(self) -> str:
        """All sentences."""
        return " ".join(each for shown in self.sentences.values() for each in shown)


def page(path: Path) -> Walk:
    """The page of a review as seen."""
    root, walk = parsed(path.read_text(encoding="utf-8")), Walk()
    front = [each.text() for each in root.all("p") if each.attributes.get("class") == "headline"]
    walk.sentences["header"] = [root.all("h1")[0].text(), *front]
    for section in root.all("section"):
        name = section.attributes.get("id", "")
        if section.attributes.get("class") == "chapter":
            for part in (each for each in section.all("article") if "open" in each.attributes["class"].split()):
                _part(walk, part)
            continue
        if not name:
            continue
        unsaid = ("nothing", "whole quiet")
        lines = [each for each in section.walk() if each.tag in ("p", "li")]
        shown = [each.text() for each in lines if each.attributes.get("class") not in unsaid]
        walk.sentences[name] = shown
        parts = [_part(walk, part) for part in section.all("article")]
        if not any(parts) and not shown and name != "headline":
            walk.empty_sections.append(name)
    return walk


def _part(walk: Walk, part: Element) -> bool:
    name = part.attributes["id"]
    for table in part.all("table"):
        heads = [each.text() for each in table.all("thead")[0].walk() if each.tag in ("th", "td")]
        rows = [_cells(row) for body in table.all("tbody") for row in body.all("tr")]
        walk.tables[name] = Table(name, heads, [row for row in rows if len(row) == len(heads)])
    if name not in walk.tables:
        walk.empty_parts.append(name)
    return name in walk.tables


def _cells(row: Element) -> list[str]:
    return [cell.text() for cell in row.parts if not isinstance(cell, str) and cell.tag in ("th", "td")]


def letter(path: Path) -> str:
    """The plain text of a letter."""
    message = email.message_from_bytes(path.read_bytes(), policy=email.policy.default)
    body = message.get_body(("plain",))
    assert body is not None
    return str(body.get_content())


def sheets(path: Path) -> dict[str, Table]:
    """The tables of a workbook, cells as text."""
    book = load_workbook(path)
    found = {}
    for sheet in book.worksheets:
        for table in sheet.tables.values():
            rows = [[("" if cell.value is None else str(cell.value)) for cell in row] for row in sheet[table.ref]]
            last = -1 if table.totalsRowCount else None
            found[f"{sheet.title}: {table.name}"] = Table(table.name, rows[0], rows[1:last])
    book.close()
    return found


def faults(plan: Plan, folder: Path) -> Counter[str]:
    """How often each kind of fault stands on page, letter and workbook of the month reviewed."""
    reviews, month = folder / "reviews", f"{plan.month:%Y-%m}"
    seen = page(reviews / f"review-{month}.html")
    return Counter(
        [
            *page_faults(plan, seen),
            *letter_faults(plan, letter(reviews / f"review-{month}-letter-1.eml")),
            *sheet_faults(plan, sheets(reviews / f"review-{month}.xlsx")),
        ]
    )


def page_faults(plan: Plan, seen: Walk) -> Iterator[str]:
    """One entry per fault."""
    yield from (f"page: empty section {name}" for name in seen.empty_sections)
    yield from (f"page: empty part {name}" for name in seen.empty_parts)
    for table in seen.tables.values():
        yield from (f"page: {fault}" for fault in table_faults(plan, table))
    yield from (f"page: vacuous “{words}”" for words in VACUOUS if words in seen.text)
    if plan.parcels[plan.month] < oracle.FEWEST_OF_A_MONTH and VERDICT.search(" ".join(seen.sentences["header"])):
        yield "page: verdict on a month of few parcels"
    for name, shown in seen.sentences.items():
        repeated = [each for each, count in Counter(shown).items() if count > 1 and len(each) > 20]
        yield from (f"page: said twice in {name}: {each[:40]}" for each in repeated)


def table_faults(plan: Plan, table: Table) -> Iterator[str]:
    """Columns without a figure, zeros that no record says, shares of few."""
    for head in table.heads:
        cells = set(table.column(head))
        if cells <= {"not known", ""}:
            yield f"column without a figure: {table.name}: {head}"
        elif head in oracle.absent_headers(plan) and any(each == NONE or ZERO.match(each) for each in cells):
            yield f"zero for absent: {table.name}: {head}"
        elif head != "Mean error" and all(
            ZERO.match(each) and not each.isdigit() and "%" not in each for each in cells
        ):
            yield f"column of zero money: {table.name}: {head}"
        yield from (
            f"not known in {table.name}: {head}" for each in cells if each == "not known" and cells != {"not known"}
        )
    if "Parcels" in table.heads:
        for row in table.rows:
            count = row[table.heads.index("Parcels")].replace(",", "")
            if count.isdigit() and int(count) < oracle.FEWEST_OF_A_SHARE:
                yield from (
                    f"share of few: {table.name}: {head}"
                    for head, cell in zip(table.heads, row, strict=True)
                    if PERCENT.search(cell) and head not in OF_CLAIMS
                )


def letter_faults(plan: Plan, text: str) -> Iterator[str]:
    """Of the letter's plain text."""
    yield from (f"letter: vacuous “{words}”" for words in VACUOUS if words in text)
    if re.search(r"\b(unknown|not known)\b", text):
        yield "letter: unknown"
    if plan.parcels[plan.month] < oracle.FEWEST_OF_A_MONTH and VERDICT.search(text):
        yield "letter: verdict on a month of few parcels"


def sheet_faults(plan: Plan, found: dict[str, Table]) -> Iterator[str]:
    """Of the workbook's sheets."""
    for name, table in found.items():
        if not table.rows:
            yield f"workbook: empty sheet {name}"
            continue
        for head in table.heads:
            cells = set(table.column(head))
            if cells <= {""}:
                yield f"workbook: column without a figure: {name}: {head}"
            elif head.split(" (")[0] in oracle.absent_headers(plan) and cells & {"0", "0.0", "0.00"}:
                yield f"workbook: zero for absent: {name}: {head}"
