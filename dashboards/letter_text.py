"""A letter as plain text: aligned columns, lines of at most 76 letters where the words allow it."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence

from dashboards import filled, formats
from dashboards.letter import LINE, LONGEST_CELL, Block, Content, Grid, Row


def plain_text(letter: Content, closing: Sequence[str]) -> str:
    """The whole letter as text; closing: sentences on what is attached and where the page lies."""
    return "\n".join(_lines(letter, closing)) + "\n"


def _lines(letter: Content, closing: Sequence[str]) -> Iterator[str]:
    yield from _wrapped(letter.headline)
    for block in letter.blocks:
        yield ""
        yield from _block(block, letter.headline)
    if letter.notes:
        yield from ("", "NOTES", "")
        for note in letter.notes:
            yield from _wrapped(f"- {note}")
    yield from ("", "-- ")
    for sentence in closing:
        yield from _wrapped(sentence)


def _block(block: Block, headline: str) -> Iterator[str]:
    yield block.title.upper()
    if block.lead and block.lead != headline:
        yield ""
        yield from _wrapped(block.lead)
    for grid in block.grids:
        yield ""
        yield f"{grid.title}:"
        yield from (aligned(grid) if _fits(grid) else _stacked(grid))
        if grid.left_out:
            yield f"... and {grid.left_out} more on the page and in the workbook"
        yield from _wrapped(grid.note)
    for line in filter(None, block.rest):
        yield from ("", *_wrapped(line))


def _wrapped(text: str) -> list[str]:
    return textwrap.wrap(text, LINE, break_on_hyphens=False)


def _fits(grid: Grid) -> bool:
    return not grid.has_sentences and sum(_widths(grid)) + 2 * (len(grid.headers) - 1) <= LINE + 4


def _cut(cell: str, is_figure: bool) -> str:
    return cell if is_figure else formats.plain(cell, LONGEST_CELL)


def _widths(grid: Grid) -> list[int]:
    rows = [grid.headers, *(row.cells for row in grid.rows if not row.is_heading)]
    return [
        max(len(_cut(row[at], is_figure)) for row in rows if at < len(row)) for at, is_figure in enumerate(grid.figures)
    ]


def aligned(grid: Grid) -> Iterator[str]:
    """The rows as lines: words to the left, figures to the right. Nothing for a table without rows."""
    if not grid.rows:
        return
    widths = _widths(grid)
    yield _aligned(grid.headers, grid.figures, widths)
    for row in grid.rows:
        yield f"{row.cells[0]}:" if row.is_heading else _aligned(row.cells, grid.figures, widths)


def _aligned(cells: Sequence[str], figures: Sequence[bool], widths: Sequence[int]) -> str:
    placed = (
        cell.rjust(width) if is_figure else _cut(cell, False).ljust(width)
        for cell, is_figure, width in zip(cells, figures, widths, strict=True)
    )
    return "  ".join(placed).rstrip()


def _stacked(grid: Grid) -> Iterator[str]:
    """A row of long texts takes a line for each column."""
    for number, row in enumerate(grid.rows, start=1):
        yield from textwrap.wrap(f"{number}. {row.cells[0]}", LINE, subsequent_indent="   ")
        for header, cell in list(zip(grid.headers, row.cells, strict=True))[1:]:
            if cell in (filled.NONE, filled.NOT_APPLICABLE):
                continue
            yield from textwrap.wrap(f"{header}: {cell}", LINE, initial_indent="   ", subsequent_indent="   ")


__all__ = ["Row", "aligned", "plain_text"]
