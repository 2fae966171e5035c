"""A letter as plain text, whole on one screen: lines of at most 72 letters where the words allow it."""

import textwrap
from collections.abc import Iterator, Sequence

from dashboards.letter_contents import MONTH_HEADS, Block, Content, Point

LINE = 72


def plain_text(letter: Content, closing: Sequence[str]) -> str:
    """The whole letter as text; closing: sentences on what is attached and where the page lies."""
    return "\n".join(_lines(letter, closing)) + "\n"


def _lines(letter: Content, closing: Sequence[str]) -> Iterator[str]:
    yield from _wrapped(letter.heading)
    for paragraph in letter.paragraphs:
        yield from ("", *_wrapped(paragraph))
    if letter.months:
        yield from ("", *aligned([MONTH_HEADS, *letter.months]))
    for block in letter.blocks:
        yield from ("", block.title.upper(), *_block(block))
    yield from ("", "-- ")
    for sentence in closing:
        yield from _wrapped(sentence)


def _wrapped(text: str, first: str = "", after: str = "") -> list[str]:
    return textwrap.wrap(
        text, LINE, initial_indent=first, subsequent_indent=after, break_on_hyphens=False, break_long_words=False
    )


def _block(block: Block) -> Iterator[str]:
    width = max((len(point.worth) for point in block.points), default=0)
    for point in block.points:
        yield from _point(point, width)
    for line in block.rest:
        yield from _wrapped(line)


def _point(point: Point, width: int) -> list[str]:
    """Its amount, and beside it what it is for."""
    return _wrapped(point.words, f"{point.worth:>{width}}  ", " " * (width + 2))


def aligned(rows: Sequence[Sequence[str]]) -> Iterator[str]:
    """The rows as lines: the first column to the left, figures to the right."""
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    for row in rows:
        figures = (cell.rjust(width) for cell, width in zip(row[1:], widths[1:], strict=True))
        yield "  ".join((row[0].ljust(widths[0]), *figures)).rstrip()
