"""The first sheet of the workbook: the month as the first screen of the page has it, with typed figures."""

from collections.abc import Iterator, Mapping, Sequence

import pandas as pd
from xlsxwriter.utility import xl_rowcol_to_cell
from xlsxwriter.worksheet import Worksheet

from dashboards import formats
from dashboards import workbook_file as books
from dashboards.front import DUE_SHOWN, Cause, front_view
from dashboards.panels import Panel
from dashboards.review_tables import Review
from dashboards.sections import front
from dashboards.template_parts import Shown
from dashboards.workbook_file import Book
from dashboards.workbook_tables import Block, mark_overdue, row_heights, set_heights, set_widths, write_across

# Panels of the first screen with their most rows; what they mean stands in the sheets of their chapters.
SHOWN = {
    **{"completed-month": 1, "compared-months": 3, "waterfall": 12, "first-actions": front.CARDS},
    **{"disputes-due": DUE_SHOWN, "claims-due": DUE_SHOWN, "orders-due": DUE_SHOWN},
}
WATERFALL = "waterfall"
# Orders never count as overdue: no record says whether one went out.
TO_ACT_BY = ("first-actions", "disputes-due", "claims-due")
ACROSS = 4  # columns that stand beside each other


def write_cover(book: Book, sheet: Worksheet, review: Review, title: str) -> None:
    """Title, edition, finding, the month beside others, the waterfall, causes, actions and what is due."""
    seen = front_view(review)
    book.write_text(sheet, 0, 0, title, book.shape("title", **books.TITLE))
    blocks = {name: block for name, block in _blocks(review) if len(block.rows)}
    if seen.causes:
        blocks = _with_causes(blocks, _causes(seen.causes, review))
    widths = [*set_widths(sheet, list(blocks.values()), book), *[books.UNSET_WIDE] * ACROSS][:ACROSS]
    said = [review.edition_words, words(seen.heading), words(seen.lead), f"Made {formats.instant(review.made_at)}."]
    top = 1
    for text in filter(None, said):
        write_across(book, sheet, top, text, widths, book.shape("line over all", **books.ACROSS))
        top += 1
    for name, block in blocks.items():
        top = _write_block(book, sheet, top + 1, block, widths, is_waterfall=name == WATERFALL)


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
            made_on = review.made_at.date() if part.name in TO_ACT_BY else None
            yield part.name, Block(part.title, part.table, known, made_on=made_on)


def _write_block(
    book: Book, sheet: Worksheet, top: int, block: Block, widths: Sequence[float], *, is_waterfall: bool
) -> int:
    """Write a small table without a filter; return the row after it."""
    names = [str(name) for name in block.rows.columns]
    tops = books.headers(names, book.units)
    book.write_text(sheet, top, 0, block.title, book.shape("part", **books.PART))
    for place, (name, head) in enumerate(zip(names, tops, strict=True)):
        book.write_text(sheet, top + 1, place, head, book.header(name))
        book.write_column(sheet, top + 1, place, block.rows.iloc[:, place], name, is_wide=True)
    mark_overdue(book, sheet, top + 1, block)
    set_heights(sheet, top + 1, row_heights(block.rows, tops, widths))
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


def _causes(causes: Sequence[Cause], review: Review) -> Block:
    amounts = review.table(causes[0].cost.table)["cause_cents"]
    said = [words(cause.words) for cause in causes]
    rows = pd.DataFrame({"cause": said, "cause_cents": [amounts.loc[cause.cost.row] for cause in causes]})
    return Block("Why", causes[0].cost.table, rows)


def _with_causes(blocks: Mapping[str, Block], causes: Block) -> dict[str, Block]:
    """The causes stand behind the waterfall, which they explain; nowhere without it."""
    found: dict[str, Block] = {}
    for name, block in blocks.items():
        found[name] = block
        if name == WATERFALL:
            found["causes"] = causes
    return found
