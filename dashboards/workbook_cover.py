"""The first sheet of the workbook: the month as the first screen of the page has it, with typed figures."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import pandas as pd
from xlsxwriter.utility import xl_rowcol_to_cell
from xlsxwriter.worksheet import Worksheet

from dashboards import book as books
from dashboards import formats
from dashboards.book import Book
from dashboards.front import DUE_SHOWN, Cause, front_view
from dashboards.parts import Panel, Review
from dashboards.sections import front
from dashboards.shown import Shown
from dashboards.workbook_tables import Block, set_widths
from models import columns

# Panels of the first screen with their most rows; what they mean stands in the sheets of their chapters.
SHOWN = {
    **{"completed-month": 1, "compared-months": 3, "waterfall": 12, "first-actions": front.CARDS},
    **{"disputes-due": DUE_SHOWN, "claims-due": DUE_SHOWN},
}
WATERFALL = "waterfall"
# Columns, and letters, that stand beside each other; lines of a header.
ACROSS, LETTERS_ACROSS, HEADER_LINES = 4, 76, 3


def write_cover(book: Book, sheet: Worksheet, review: Review, title: str) -> None:
    """Title, edition, finding, the month beside others, the waterfall, causes, actions and what is due."""
    seen = front_view(review)
    book.write_text(sheet, 0, 0, title, book.shape("title", **books.TITLE))
    said = [review.edition_words, words(seen.heading), words(seen.lead), f"Made {formats.instant(review.made_at)}."]
    top = 1
    for text in filter(None, said):
        _write_line(book, sheet, top, text)
        top += 1
    blocks = [block for block in _blocks(review) if len(block[1].rows)]
    set_widths(sheet, [block for _, block in blocks], book)
    sheet.fit_to_pages(1, 0)
    for name, block in blocks:
        top = _write_block(book, sheet, top + 1, block, is_waterfall=name == WATERFALL)
        top = _write_causes(book, sheet, top + 1, seen.causes, review) if name == WATERFALL and seen.causes else top


def _write_line(book: Book, sheet: Worksheet, top: int, text: str) -> None:
    """A text over the width of the sheet, in as many lines as it takes: the height of joined cells is not found by
    the programs that show them."""
    shape = book.shape("line over all", text_wrap=True, valign="top")
    sheet.merge_range(top, 0, top, ACROSS - 1, "", shape)
    book.write_text(sheet, top, 0, text, shape)
    sheet.set_row(top, books.LINE_HEIGHT * books.line_count(text, LETTERS_ACROSS))


def words(parts: Sequence[str | Shown]) -> str:
    """Sentences as plain text."""
    return "".join(part if isinstance(part, str) else part.text for part in parts)


def _blocks(review: Review) -> Iterator[tuple[str, Block]]:
    for part in front.SECTION.parts:
        if isinstance(part, Panel) and part.name in SHOWN and review.has(part.table):
            rows = review.table(part.table)
            chosen = part.choose(review, rows) if len(rows) else rows
            kept = [name for name in part.columns if name in chosen.columns and name != "action_kind"]
            known = chosen[kept].head(SHOWN[part.name]).dropna(axis="columns", how="all")
            yield part.name, Block(part.title, part.table, known)


def _write_block(book: Book, sheet: Worksheet, top: int, block: Block, *, is_waterfall: bool) -> int:
    """Write a small table without a filter; return the row after it."""
    names = [str(name) for name in block.rows.columns]
    book.write_text(sheet, top, 0, block.title, book.shape("part", **books.PART))
    for place, (name, head) in enumerate(zip(names, books.headers(names, book.units), strict=True)):
        book.write_text(sheet, top + 1, place, head, book.header(name))
        book.write_column(sheet, top + 1, place, block.rows.iloc[:, place], name, is_wide=True)
    sheet.set_row(top + 1, books.LINE_HEIGHT * HEADER_LINES)
    last = top + 1 + len(block.rows)
    if is_waterfall:
        _write_sum(book, sheet, top + 2, last, block.rows)
    return last + 1


def _write_sum(book: Book, sheet: Worksheet, first: int, last: int, rows: pd.DataFrame) -> None:
    """What is left as the sum of the steps above it, where it is: a reader may check it, or change a step."""
    steps = rows["waterfall_cents"]
    if len(steps) < 3 or int(steps.iloc[:-1].sum()) != int(steps.iloc[-1]):
        return
    shown = books.number_format("waterfall_cents", book.units)
    shape = book.shape("sum", num_format=shown, bold=True, top=1)
    value = float(formats.major(int(steps.iloc[-1]), book.units.currency))
    span = f"{xl_rowcol_to_cell(first, 1)}:{xl_rowcol_to_cell(last - 1, 1)}"
    sheet.write_formula(last, 1, f"=SUM({span})", shape, value)


def _write_causes(book: Book, sheet: Worksheet, top: int, causes: Sequence[Cause], review: Review) -> int:
    book.write_text(sheet, top, 0, "Why", book.shape("part", **books.PART))
    amounts = review.table(causes[0].cost.table)["cause_cents"]
    rows = pd.DataFrame(
        {
            "cause": [words(cause.told) for cause in causes],
            "cause_cents": [amounts.loc[cause.cost.row] for cause in causes],
        }
    )
    for place, (name, head) in enumerate((("cause", "Cause"), ("cause_cents", columns.label("cause_cents")))):
        book.write_text(sheet, top + 1, place, head, book.shape("header", **books.HEADER))
        book.write_column(sheet, top + 1, place, rows[name], name)
    return top + 2 + len(rows)
