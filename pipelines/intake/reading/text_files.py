"""A text file in UTF-8, opened as often as it is looked at."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import partial
from itertools import islice
from pathlib import Path

from models.settings.reading_limits import Limits
from pipelines.intake.reading.encodings import refuse_unproven
from pipelines.intake.reading.line_cells import Marks
from pipelines.intake.reading.lines import Found, Lines, rows
from pipelines.intake.reading.tables import SAMPLE_CELLS, SAMPLE_ROWS


@dataclass(frozen=True)
class TextFile:
    """The file, with the name that its user knows. is_stated: the user stated its encoding.

    Where nobody did, a file with bytes that are no text is refused, unless its other lines prove the encoding.
    """

    path: Path
    name: str
    limits: Limits
    is_stated: bool

    @contextmanager
    def lines(self, after: int) -> Iterator[Lines]:
        """The lines after the first ones. Bytes that are no text are in them as Python escapes them."""
        with self.path.open(encoding="utf-8-sig", errors="surrogateescape", newline="") as text:
            refuse = None if self.is_stated else partial(refuse_unproven, self.path, self.name)
            lines = Lines(text, self.name, self.limits.longest_line, refuse)
            lines.skip(after)
            yield lines

    def first_rows(self, marks: Marks, after: int, width: int | None) -> list[Found]:
        """The first rows after some lines."""
        with self.lines(after) as lines:
            return list(_sampled(rows(lines, marks, width)))


def _sampled(found: Iterator[Found]) -> Iterator[Found]:
    """The first rows; of wide ones fewer."""
    cells = 0
    for row in islice(found, SAMPLE_ROWS):
        yield row
        cells += len(row.cells)
        if cells > SAMPLE_CELLS:
            return
