"""The review's tables as a workbook: a cover with the month, contents with links, then a sheet for each part of the
page, in its order, with every row of the part's tables."""

import io
import re
from collections.abc import Iterator, Sequence

import pandas as pd
from xlsxwriter import Workbook
from xlsxwriter.worksheet import Worksheet

from dashboards import formats, sentences, small_shares
from dashboards import workbook_file as books
from dashboards.chapters import CHAPTERS
from dashboards.panels import Panel, Section, Statement
from dashboards.review_tables import Records, Review
from dashboards.sections import all_sections
from dashboards.sections.actions import TABLE as ACTIONS
from dashboards.sentences.letters import SHEETS
from dashboards.workbook_cover import write_cover
from dashboards.workbook_file import Book
from dashboards.workbook_paper import set_areas, set_page
from dashboards.workbook_tables import Block, set_widths, write_block
from models import columns, sql_texts
from models.fields import Quantity
from models.shop_units import Units
from models.tables import TABLES

MONTH, CONTENTS = "Month", "Contents"
CONTENT_HEADERS = ("Sheet", "Table", "One row is", "Rows", "The whole table as a file")
CONTENT_WIDTHS = (34, 26, 70, 10, 50)
CONTENT_HEAD = 3  # its row
LONGEST_NAME = 31  # of a sheet
DANGLING = re.compile(r"(?:,|\s|\b(?:and|or|the|of|to))+$")  # what no name ends with
# What a table says for the program alone: where a figure was found, for `dunnage trace`.
OF_THE_PROGRAM = ("evidence",)
# Rows of a key that is one of these are a series.
IN_ORDER = (Quantity.DATE, Quantity.COUNT, Quantity.NUMBER)
MOST_ROWS = 5_000  # of a table: more takes minutes to write, and nobody reads it
Sheets = dict[str, list[Block]]
# Where a table begins: its sheet, the row of its title, and the table.
Place = tuple[str, int, Block]


def workbook(review: Review) -> bytes:
    """The file's bytes (XLSX). Amounts stand in the major unit; null cells are empty; sums are formulas.

    A table without rows has no place, a column without a known cell none in its table. Only what the page shows is in.
    """
    stream = io.BytesIO()
    with Workbook(stream, {"in_memory": True}) as file:
        book = Book(file, review.units)
        title = formats.plain(f"{review.shop_name}: shipping in {formats.month(review.month)}")
        file.set_properties({"title": title, "created": review.made_at})
        cover, contents = file.add_worksheet(MONTH), file.add_worksheet(CONTENTS)
        write_cover(book, cover, review, title)
        places = [place for title, blocks in sheets_of(review).items() for place in _write_sheet(book, title, blocks)]
        _write_contents(book, contents, places)
        for sheet in file.worksheets():
            set_page(sheet, title, is_upright=sheet is cover)
    return stream.getvalue()


def sheets_of(review: Review) -> Sheets:
    """Title -> tables of each sheet, in the page's order; each table stands where the page shows it first."""
    taken: set[str] = set()
    found: Sheets = {}
    sections = [section for section in _ordered() if not section.replaced_by or section.is_shown(review)]
    for section in sections:
        tables = [part.table for part in section.parts if review.has(part.table)]
        fresh = [name for name in dict.fromkeys(tables) if name not in taken and len(review.table(name))]
        taken.update(fresh)
        if fresh:
            found[section.title] = [_block(name, section, review) for name in fresh]
    names = sheet_names(list(found))
    return {names[title]: blocks for title, blocks in found.items()}


def _ordered() -> list[Section]:
    """The sections as the page has them: by chapter."""
    chapters = [chapter.name for chapter in CHAPTERS]
    return sorted(
        (section for section in all_sections() if section.chapter), key=lambda each: chapters.index(each.chapter)
    )


def _block(table: str, section: Section, review: Review) -> Block:
    known = small_shares.without_few(review.table(table)).dropna(axis="columns", how="all")
    whole = known.drop(columns=[name for name in OF_THE_PROGRAM if name in known.columns])
    first = [name for name in shown_columns(section, table) if name in whole.columns]
    others = [name for name in whole.columns if name not in first]
    parts = [part for part in section.parts if part.table == table]
    kept = ordered(whole, review, parts).head(MOST_ROWS)[[*first, *others]]
    is_whole = len(kept) == len(whole)
    made_on = review.made_at.date() if table == ACTIONS else None
    grain = _grain(table, len(whole))
    return Block(_words(table), table, kept, grain, is_whole=is_whole, shown_count=len(first), made_on=made_on)


def shown_columns(section: Section, table: str) -> list[str]:
    """The columns of the table that the section shows on the page, in its order."""
    return list(dict.fromkeys(name for part in section.parts if part.table == table for name in _columns(part)))


def _columns(part: Panel | Statement) -> Sequence[str]:
    if isinstance(part, Panel):
        return part.columns
    return [part.head, *(name for names in part.groups.values() for name in names)]


def _words(table: str) -> str:
    return table.split(".")[-1].replace("_", " ").strip().capitalize()


def sheet_names(titles: Sequence[str]) -> dict[str, str]:
    """A sheet's name per title: cut to what a workbook allows, at a word where it can, each one different."""
    taken = {MONTH.lower(), CONTENTS.lower()}
    names = {}
    for title in titles:
        words = "".join(" " if mark in "[]:*?/\\_'" else mark for mark in title).strip()
        name = _cut(words, LONGEST_NAME) or "Table"
        for again in range(2, len(titles) + 3):
            if name.lower() not in taken:
                break
            name = f"{words[: LONGEST_NAME - 4]} {again}"
        taken.add(name.lower())
        names[title] = name
    return names


def _cut(words: str, longest: int) -> str:
    """The words, or as many of them as fit; of one word too long its beginning."""
    if len(words) <= longest:
        return words
    return DANGLING.sub("", words[: longest + 1].rsplit(" ", 1)[0][:longest])


def ordered(rows: pd.DataFrame, review: Review, parts: Sequence[Panel | Statement] = ()) -> pd.DataFrame:
    """The rows as a reader of the month needs them, who may see and print only the first: those that the page shows, as
    it orders them; then of a table with several rows for each month those of the month reviewed, of the months before
    it, last of those after it. One row for each month is a series, which stays in its order, or as much of it as a
    sheet has room for; so does one row for each day or age."""
    if "shipped_month" not in rows.columns:
        return rows if _is_series(parts) else _first(rows, review, parts)
    months = rows["shipped_month"].reset_index(drop=True)
    ranks = pd.DataFrame({"is_later": months > pd.Timestamp(review.month), "month": months})
    ranked = ranks.sort_values(["is_later", "month"], ascending=[True, False], kind="stable").index
    if months.is_unique:
        return rows.iloc[ranked[:MOST_ROWS].sort_values()]
    return _first(rows.iloc[ranked], review, parts)


def _is_series(parts: Sequence[Panel | Statement]) -> bool:
    """Whether a table has a row for each of some numbers or days."""
    keys = {part.table: TABLES[part.table].key for part in parts if part.table in TABLES}
    return any(len(key) == 1 and columns.quantity(key[0]) in IN_ORDER for key in keys.values())


def _first(rows: pd.DataFrame, review: Review, parts: Sequence[Panel | Statement]) -> pd.DataFrame:
    """The rows, those before that the parts choose."""
    shown = pd.Index([])
    for part in parts:
        chosen = part.choose(review, review.table(part.table)).index
        shown = shown.append(chosen[~chosen.isin(shown)])
    return rows.loc[[*shown, *rows.index[~rows.index.isin(shown)]]]


def _grain(table: str, rows: int) -> str:
    grain = TABLES[table].grain or sql_texts.grain(table) if table in TABLES else ""
    if rows <= MOST_ROWS:
        return grain
    sheet = pd.DataFrame({"row_count": [rows], "shown_row_count": [MOST_ROWS], "table_name": [table]})
    return " ".join([grain, *sentences.lines(["workbook.cut"], Records(tables={SHEETS: sheet}), Units(""))]).strip()


def _write_sheet(book: Book, title: str, blocks: Sequence[Block]) -> Iterator[Place]:
    """Write a sheet's tables one below the other; yields where each begins."""
    sheet = book.file.add_worksheet(title)
    widths = set_widths(sheet, blocks, book)
    sheet.write_url(0, 0, f"internal:'{CONTENTS}'!A1", book.shape("link", **books.LINK), CONTENTS)
    sheet.freeze_panes(0, 1)
    top, areas = 2, []
    for block in blocks:
        yield title, top, block
        top, printed = write_block(book, sheet, top, block, widths, is_alone=len(blocks) == 1)
        areas += printed
    set_areas(book, sheet, areas)


def _write_contents(book: Book, sheet: Worksheet, places: Sequence[Place]) -> None:
    book.write_text(sheet, 0, 0, CONTENTS, book.shape("title", **books.TITLE))
    about = "empty: not known, or cannot be; –: none; sums: of the rows that the filter shows; meanings are not printed"
    book.write_text(sheet, 1, 0, about, book.shape("quiet", **books.QUIET))
    for place, head in enumerate(CONTENT_HEADERS):
        book.write_text(sheet, CONTENT_HEAD, place, head, book.shape("header", **books.HEADER))
    for at, (title, top, block) in enumerate(places, start=CONTENT_HEAD + 1):
        sheet.write_url(at, 0, f"internal:'{title}'!A{top + 1}", book.shape("link", **books.LINK), title)
        texts = {1: block.title, 2: block.note, 4: f"dunnage export {block.table} FILE"}
        for place, text in texts.items():
            book.write_text(sheet, at, place, text)
        sheet.write_number(at, 3, len(block.rows), book.shape("count", num_format="#,##0", valign="top"))
        lines = max(books.line_count(text, CONTENT_WIDTHS[place] - 2) for place, text in {0: title, **texts}.items())
        sheet.set_row(at, books.LINE_HEIGHT * lines)
    for place, wide in enumerate(CONTENT_WIDTHS):
        sheet.set_column(place, place, wide)
    sheet.repeat_rows(CONTENT_HEAD)
