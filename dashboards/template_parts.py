"""What the templates show: cells, rows, tables and sections with every text written out and its place of origin."""

from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from dashboards import formats
from dashboards.blank_cells import NONE
from dashboards.pictures import Picture
from dashboards.pictures.svg_writer import Codes
from models import columns


@dataclass(frozen=True)
class Shown:
    """A cell's text with its origin and look."""

    text: str
    table: str
    row: int
    column: str
    is_figure: bool
    is_unknown: bool
    is_loss: bool
    is_nothing: bool = False
    is_none: bool = False

    @property
    def look(self) -> str:
        """The classes of the style sheet that apply."""
        looks = {"figure": self.is_figure, "loss": self.is_loss, "unknown": self.is_unknown}
        return " ".join(name for name, applies in looks.items() if applies)


@dataclass(frozen=True)
class Line:
    """A row of a shown table.

    head: text of the row header where it is no cell. sorted_by: filter column -> raw value.
    """

    head: str
    cells: Sequence[Shown]
    row: int | None = None
    sorted_by: dict[str, Any] = field(default_factory=dict)


@dataclass(frozen=True)
class Group:
    """Lines under one heading; no heading where it is empty."""

    title: str
    lines: Sequence[Line]


@dataclass(frozen=True)
class Header:
    """A column's header. is_foremost: whether it stands open at the head of a chapter."""

    text: str
    is_figure: bool
    cell: Shown | None = None
    is_foremost: bool = True

    @property
    def label(self) -> str:
        """What stands beside a cell where a narrow screen shows rows as cards."""
        return self.text or (self.cell.text if self.cell else "")


@dataclass(frozen=True)
class PartView:
    """A panel or statement as shown.

    table: whose rows they are. left_out: rows that only workbook and export have. is_series: rows of days or months.
    """

    name: str
    title: str
    headers: Sequence[Header] = ()
    groups: Sequence[Group] = ()
    picture: Picture | None = None
    note: Sequence[str | Shown] = ()
    is_folded: bool = False
    filters: Sequence[str] = ()
    columns: Sequence[str] = ()
    table: str = ""
    left_out: int = 0
    is_series: bool = False

    @property
    def lines(self) -> list[Line]:
        """All lines of all groups."""
        return [line for group in self.groups for line in group.lines]

    @property
    def has_dashes(self) -> bool:
        """Whether a cell of none is written as a dash."""
        return any(cell.is_none and cell.text == NONE for line in self.lines for cell in line.cells)

    @property
    def more_columns(self) -> int:
        """How many columns unfold."""
        return sum(not header.is_foremost for header in self.headers)


@dataclass(frozen=True)
class SectionView:
    """A section as shown: only parts with rows; rest: what the records say of the others, each sentence once."""

    name: str
    title: str
    lead: Sequence[str | Shown]
    parts: Sequence[PartView]
    is_headline: bool
    rest: Sequence[str | Shown] = ()
    points: Sequence[Sequence[str | Shown]] = ()

    @property
    def is_filled(self) -> bool:
        """Whether there is anything to show under its title."""
        return self.is_headline or bool(self.lead or self.parts or self.rest or self.points)


@dataclass(frozen=True)
class Filter:
    """A choice above rows or pictures. options: (code, text) pairs; a row carries the code of its own value."""

    column: str
    label: str
    options: Sequence[tuple[int, str]]


def codes_of(chosen: Iterable[Mapping[str, Hashable]], order: Sequence[str] = ()) -> Codes:
    """A code per distinct value of each column; a column with one value is no choice.

    chosen: of each row its values by column. order: columns that come first, in this order.
    """
    found: dict[str, set[Hashable]] = {column: set() for column in order}
    for row in chosen:
        for column, value in row.items():
            found.setdefault(column, set()).add(value)
    return {
        column: {value: code for code, value in enumerate(sorted(values, key=str))}
        for column, values in found.items()
        if len(values) > 1
    }


def filter_of(column: str, values: Iterable[Hashable], codes: Codes) -> Filter:
    """The choice among these values."""
    options = [(codes[column][value], formats.plain(value, 40)) for value in values]
    return Filter(column, columns.label(column), options)
