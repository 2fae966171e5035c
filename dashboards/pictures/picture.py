"""What a figure shows, once, for every hand that draws it: the page's drawing, the letter's, the one to explore.

A mark is a cell of a table: its value lies along the measured axis, its table, column and row say where it came from.
Those who draw know kinds, never a figure.
"""

from collections.abc import Hashable, Iterator, Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from models.columns import Display


class Kind(StrEnum):
    """How marks are laid out; the words open the picture's text."""

    BARS = "Bar chart"
    WATERFALL = "Waterfall chart"
    ROW_STACKS = "Stacked bar chart"
    MONTH_STACKS = "Stacked bar chart by month"
    LINES = "Line chart"
    SMALL_LINE = "Small line chart"
    STEPS = "Step chart"
    POINTS = "Points with intervals"
    HISTOGRAM = "Histogram"
    GRID = "Grid of values"
    CARTON = "Drawing of a carton"
    LAYERS = "Drawing of the packing"


class Tone(StrEnum):
    """What a mark's colour says; the value is its class in the style sheet. One meaning per colour on every surface."""

    PLAIN = "plain"
    GOOD = "good"
    BAD = "bad"
    MARKED = "marked"
    QUIET = "weak"


@dataclass(frozen=True)
class Axis:
    """What a direction of the picture measures. title: its words and unit. display: how its numbers are written.

    sign: of the currency, before an amount. from_zero: whether the axis begins at zero, as amounts must.
    """

    title: str = ""
    display: Display = Display.TEXT
    sign: str = ""
    from_zero: bool = True


@dataclass(frozen=True)
class Mark:
    """One cell drawn.

    label: what it is of, whole. value: the cell in the unit shown; None draws nothing. text: as written beside it.
    column: as the shop sees it. row: its number in the table. at: its place along the other axis: a month's ordinal,
    a day's, a measure, the lower edge of a bin; until: the upper edge. series: which of the picture's. start: where a
    bar begins. low, high: ends of its interval. across: the label of its column in a grid.
    """

    label: str
    value: float | None
    text: str
    column: str
    row: int
    at: float = 0.0
    until: float = 0.0
    series: int = 0
    tone: Tone = Tone.PLAIN
    start: float = 0.0
    low: float | None = None
    high: float | None = None
    across: str = ""


@dataclass(frozen=True)
class Limit:
    """A line at a value of an axis, with its words: a carrier's limit, an alarm limit."""

    value: float
    label: str


@dataclass(frozen=True)
class Block:
    """A rectangle of a drawing to scale, in the shop's unit of length, up from the bottom left of its view.

    view: the title of the view that it stands in. number: written in it. dashes: whether its edge is dashed.
    """

    view: str
    left: float
    bottom: float
    width: float
    height: float
    label: str
    column: str
    row: int
    number: str = ""
    tone: Tone = Tone.PLAIN
    series: int = 0
    is_dashed: bool = False


@dataclass(frozen=True)
class Scale:
    """A measure written beside a drawing: a line between two heights or two places, and its words.

    is_upright: between heights (bottom, top), else between left and right.
    """

    view: str
    start: float
    end: float
    text: str
    column: str
    row: int
    is_upright: bool = True


@dataclass(frozen=True)
class Picture:
    """One figure. name, title: of the panel it stands in. series: names of the kinds of mark, in their order.

    measured, along: the axis of the values and the other one. totals: sums written at the ends of stacks. left_out:
    rows of the table that are not drawn, which stand `elsewhere`. filters: values by which a reader may choose, by row.
    """

    kind: Kind
    table: str
    marks: tuple[Mark, ...] = ()
    totals: tuple[Mark, ...] = ()
    measured: Axis = Axis()
    along: Axis = Axis()
    series: tuple[str, ...] = ()
    limits: tuple[Limit, ...] = ()
    blocks: tuple[Block, ...] = ()
    scales: tuple[Scale, ...] = ()
    left_out: int = 0
    elsewhere: str = "in the table"
    name: str = ""
    title: str = ""
    filters: Mapping[int, Mapping[str, Hashable]] = field(default_factory=dict)

    @property
    def drawn(self) -> tuple[Mark, ...]:
        """The marks whose value is known."""
        return tuple(mark for mark in self.marks if mark.value is not None)

    @property
    def says_something(self) -> bool:
        """Whether it tells more than one number would: two marks at least, and lines that are not flat."""
        if self.blocks:
            return True
        if self.kind in (Kind.LINES, Kind.SMALL_LINE, Kind.STEPS):
            return any(len({mark.value for mark in self.drawn if mark.series == at}) > 1 for at in self.shown_series)
        return len({(mark.label, mark.at, mark.across) for mark in self.drawn}) > 1

    @property
    def shown_series(self) -> list[int]:
        """The series of which anything is drawn."""
        return sorted({mark.series for mark in self.drawn})

    def marks_of(self, series: int) -> list[Mark]:
        """All marks of one series, in their order."""
        return [mark for mark in self.marks if mark.series == series]

    def of_series(self, series: int) -> list[Mark]:
        """The known marks of one series, in their order."""
        return [mark for mark in self.marks_of(series) if mark.value is not None]

    @property
    def alt(self) -> str:
        """All that the picture shows, in words."""
        return f"{self.kind.value}: {self.title}. {'; '.join(self._said())}."

    @property
    def more(self) -> str:
        """How much is not drawn, and where it stands; empty where all of it is."""
        return f"{self.left_out} more {self.elsewhere}" if self.left_out else ""

    def _said(self) -> Iterator[str]:
        for mark in self.drawn:
            series = self.series[mark.series] if len(self.series) > 1 else ""
            yield ", ".join(filter(None, (mark.label, mark.across, series))) + f" {mark.text}"
        yield from (f"{limit.label} at {limit.value:g}" for limit in self.limits)
        yield from (block.label for block in self.blocks if block.label)
        yield from (scale.text for scale in self.scales)
        if self.more:
            yield self.more
