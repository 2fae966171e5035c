"""What a letter says of a month: the headline, then the few tables that a reader on the way needs. Text and HTML
are both written from this, so that neither says more than the other.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import pandas as pd

from dashboards import filled, formats, sentences
from dashboards.due_words import deadline_lines
from dashboards.edition_words import amount, of_edition
from dashboards.parts import Panel, Review, Section, Statement
from dashboards.sections import all_sections
from dashboards.sentences import completed
from dashboards.shown import PartView, SectionView, Shown
from dashboards.views import section_view, spoken
from models import columns
from models.shop_units import Units

# Sections that go into a letter, in its order. The page has the others.
MAILED = (
    "headline",
    "actions",
    "item-types",
    "surcharges",
    "invoices",
    "damage",
    "damage-corrected",
    "missing",
    "records",
)
# Parts that go into a letter with fewer columns than on the page: a line of text holds some 76 letters.
FEWER_COLUMNS = {
    "item-type-margins": ("item_type", "parcel_count", "billed_cents", "cost_per_piece_cents", "margin_cents"),
    "surcharge-frequency": ("surcharge", "carrier", "charged_parcel_count", "surcharge_rate", "amount_cents"),
    "invoices-in-doubt": ("invoice_number", "carrier", "stated_cents", "amount_cents", "short_cents"),
    "invoices-missing": ("carrier", "missing_invoice_count", "after_on", "waiting_count", "waiting_cents"),
    "unpaid-recoveries": ("recovery_id", "carrier", "granted_on", "granted_cents", "owed_cents"),
    "damage-methods": ("packing_method", "parcel_count", "damage_count", "crude_damage_rate", "damage_net_cents"),
    "damage-rates": ("item_type", "packing_method", "parcel_count", "claim_count", "damage_rate"),
    "next-actions": ("action_words", "expected_month_cents", "expected_once_cents", "confidence_words", "go_on_with"),
    "record-states": ("kind", "row_count", "last_on", "rejected_count"),
}
# Their notes explain the marks of a figure that only the page has.
WITHOUT_NOTE = ("damage-rates",)
LINE = 76
LONGEST_CELL = 30
MOST_ROWS = 12


@dataclass(frozen=True)
class Row:
    """One row of texts; a heading has one text only."""

    cells: Sequence[str]
    is_heading: bool = False


@dataclass(frozen=True)
class Grid:
    """A table of texts. figures: which columns hold numbers. left_out: rows that only the page and workbook show.

    has_sentences: whether its first column holds sentences, which are never cut.
    """

    title: str
    headers: Sequence[str]
    figures: Sequence[bool]
    rows: Sequence[Row]
    note: str = ""
    left_out: int = 0
    has_sentences: bool = False


@dataclass(frozen=True)
class Block:
    """A titled part of the letter: its sentence, its tables, and lines of what stands in no table."""

    title: str
    lead: str
    grids: Sequence[Grid] = ()
    rest: Sequence[str] = ()


@dataclass(frozen=True)
class Content:
    """All that a letter says. subject: one line. headline: the month in a sentence or two."""

    subject: str
    headline: str
    blocks: Sequence[Block]
    notes: Sequence[str]


def content(review: Review, edition: int, changes: pd.DataFrame) -> Content:
    """The letter on a month. changes: measure, amount_before, amount_after, for an edition after the first."""
    known = {section.name: section for section in all_sections()}
    sections = [known[name] for name in MAILED if name in known]
    blocks = [block for section in sections if (block := _block(section, review))]
    if lines := deadline_lines(review.tables, review.units, review.made_at):
        blocks.insert(1, Block("What is due", lines[0], rest=lines[1:]))
    if edition > 1:
        blocks.insert(0, _changes_block(edition, changes, review.units))
    return Content(
        subject=_subject(review, edition),
        headline=blocks[0].lead if edition == 1 else _lead(sections[0], review),
        blocks=blocks,
        notes=[formats.plain(note, 400) for note in review.notes],
    )


def _subject(review: Review, edition: int) -> str:
    name = formats.plain(review.shop_name, 60)
    is_open = completed.is_open(review)
    month = completed.completed(review) if is_open else review.month_rows("marts.shipping_margin")
    result = ""
    if len(month):
        row = month.iloc[0]
        margin = formats.money(row["completed_margin_cents" if is_open else "margin_cents"], review.currency)
        parcels = f"on {formats.count(row['parcel_count'])} parcels"
        result = f", {margin} {'expected' if is_open else parcels}"
    again = f" (edition {edition})" if edition > 1 else ""
    return f"{name}: shipping in {formats.month(review.month)}{result}{again}"


def _lead(section: Section, review: Review) -> str:
    return _text(spoken(sentences.tell(section.lead, review), review))


def _text(parts: Sequence[str | Shown]) -> str:
    """Parts of sentences on one line."""
    return " ".join("".join(part if isinstance(part, str) else part.text for part in parts).split())


def _block(section: Section, review: Review) -> Block | None:
    if not section.is_shown(review):
        return None
    parts = [part for part in section.parts if review.has(part.table)]
    chosen = [part for part in parts if part.name in FEWER_COLUMNS] or parts[:1]
    shown = section_view(replace(section, parts=[_narrow(part, review) for part in chosen]), review)
    return _filled(shown) if shown.is_filled else None


def _filled(shown: SectionView) -> Block:
    points = [f"- {_text(point)}" for point in shown.points]
    return Block(shown.title, _text(shown.lead), [_grid(part) for part in shown.parts], [*points, _text(shown.rest)])


def _narrow(part: Panel | Statement, review: Review) -> Panel | Statement:
    if isinstance(part, Statement):
        return part
    wanted = FEWER_COLUMNS.get(part.name, part.columns)
    known = review.table(part.table).columns
    return replace(part, draw=None, columns=[name for name in wanted if name in known] or part.columns)


def _grid(shown: PartView) -> Grid:
    is_stacked = any(name.endswith("_words") for name in shown.columns[:1])
    rows = [row for group in shown.groups for row in _rows(group.title, group.lines, is_stacked=is_stacked)]
    return Grid(
        title=shown.title,
        headers=[header.text or (header.cell.text if header.cell else "") for header in shown.headers],
        figures=[header.is_figure for header in shown.headers],
        rows=rows if len(shown.groups) > 1 else rows[:MOST_ROWS],
        note=_note(shown),
        left_out=0 if len(shown.groups) > 1 else max(0, len(rows) - MOST_ROWS) + shown.left_out,
        has_sentences=is_stacked,
    )


def _note(shown: PartView) -> str:
    return "" if shown.name in WITHOUT_NOTE else _text(shown.note)


def _rows(title: str, lines: Sequence[object], *, is_stacked: bool) -> Iterator[Row]:
    if title:
        yield Row([title], is_heading=True)
    for line in lines:
        head = [line.head] if line.head else []  # type: ignore[attr-defined]
        texts = (filled.NONE if cell.is_nothing and is_stacked else cell.text for cell in line.cells)  # type: ignore[attr-defined]
        yield Row([*head, *texts])


def _changes_block(edition: int, changes: pd.DataFrame, units: Units) -> Block:
    records = of_edition(edition, changes)
    lead, note = (
        " ".join(sentences.lines([id], records, units)) for id in ("edition.corrected", "edition.nothing_changed")
    )
    rows = [
        Row([columns.label(measure), *(amount(measure, cell, units) for cell in amounts)])
        for measure, *amounts in changes[["measure", "amount_before", "amount_after"]].itertuples(index=False)
    ]
    return Block(
        "What changed", lead, [Grid("Amounts that changed", ["", "Before", "Now"], [False, True, True], rows, note)]
    )
