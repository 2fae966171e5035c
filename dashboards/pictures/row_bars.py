"""Pictures of one row per name: ranked bars, waterfalls, stacked pieces.

On a wide picture the names stand to the left of the marks; on a narrow one each stands above its mark.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from dashboards.pictures import letters, scales
from dashboards.pictures.picture import Kind, Mark, Picture
from dashboards.pictures.scales import Linear
from dashboards.pictures.svg_writer import LINE, SIZE, Codes, element, group, key, lines_of_words, place, words

NARROW = 500.0
THICK = 16.0
GAP = 6.0
Drawn = tuple[float, str]
Span = tuple[float, float]


@dataclass(frozen=True)
class Rows:
    """Where the rows stand: their names in order, the left edge of the marks, the height of a row."""

    names: Sequence[str]
    width: float
    left: float
    pitch: float
    top: float = 0.0

    @property
    def is_narrow(self) -> bool:
        """Whether names stand above their marks."""
        return self.width < NARROW

    @property
    def bottom(self) -> float:
        """The lower edge of the last row."""
        return self.top + self.pitch * len(self.names)

    def middle(self, name: str) -> float:
        """Half the height of the mark of a row."""
        start = self.top + self.pitch * self.names.index(name)
        return start + (LINE + 4 + THICK / 2 if self.is_narrow else self.pitch / 2)

    @property
    def spans(self) -> Sequence[Span]:
        """Where upright lines run: all along, on a narrow picture beside the marks only, through no name."""
        if not self.is_narrow:
            return [(self.top, self.bottom)]
        half = THICK / 2 + 2
        return [(self.middle(name) - half, self.middle(name) + half) for name in self.names]

    def named(self, name: str, beside: str = "") -> str:
        """The row's name, broken or cut to its room. beside: a text that ends the same line of a narrow picture."""
        if self.is_narrow:
            room = self.width - (letters.width_of(beside, SIZE) + 12 if beside else 0)
            line = letters.cut(name, room, SIZE)
            return words(line, 0, self.middle(name) - THICK / 2 - 6, whole=name)
        lines = letters.wrapped(name, self.left - 12, SIZE, 2)
        return lines_of_words(
            lines, self.left - 12, self.middle(name) + 4.5 - (len(lines) - 1) * LINE / 2, "end", "", name
        )


def rows_of(picture: Picture, width: float, top: float = 0.0) -> Rows:
    """The rows of a picture that have a known mark."""
    names = list(dict.fromkeys(mark.label for mark in picture.drawn))
    if width < NARROW:
        return Rows(names, width, 0.0, LINE + 4 + THICK + 8, top)
    widest = max(letters.width_of(name, SIZE) for name in names)
    left = min(widest, 0.3 * width) + 12
    is_broken = widest > left - 12
    return Rows(names, width, left, 2 * LINE + 6 if is_broken else THICK + 12, top)


def bars(picture: Picture, width: float, codes: Codes) -> Drawn:
    """Bars from a common zero, each value written beyond its bar's end."""
    rows = rows_of(picture, width)
    taken = [
        max((room_of(mark) for mark in picture.drawn if (value_of(mark) < 0) is is_below), default=0.0)
        for is_below in (True, False)
    ]
    low, high = scales.span([mark.value for mark in picture.drawn], from_zero=True)
    scale = Linear(low, high, rows.left + taken[0], width - taken[1])
    made = [
        group(picture, mark, _bar(rows, scale, mark, 0.0, is_text_beyond=True), codes, mark.tone.value)
        for mark in picture.drawn
    ]
    return rows.bottom, "".join(made) + (_zero(rows, scale) if low < 0 < high else "")


def waterfall(picture: Picture, width: float, codes: Codes) -> Drawn:
    """Bars that begin where the one above ends, a thin line from each end to the next bar."""
    rows = rows_of(picture, width)
    ends = [(mark.start, mark.start + value_of(mark)) for mark in picture.drawn]
    low, high = scales.span([each for pair in ends for each in pair], from_zero=True)
    scale = Linear(low, high, rows.left, width - max(map(room_of, picture.drawn)))
    made = [
        group(picture, mark, _bar(rows, scale, mark, mark.start, is_text_beyond=False), codes, mark.tone.value)
        for mark in picture.drawn
    ]
    return rows.bottom, "".join(made) + _zero(rows, scale) + "".join(_joins(rows, scale, picture.drawn))


def _joins(rows: Rows, scale: Linear, marks: Sequence[Mark]) -> Iterator[str]:
    for one, following in pairwise(marks):
        x = scale.at(one.start + value_of(one))
        start, end = rows.middle(one.label) + THICK / 2, rows.middle(following.label) - THICK / 2
        yield element("path", classes="join", d=f"M{place(x)} {place(start)}V{place(end)}")


def _bar(rows: Rows, scale: Linear, mark: Mark, start: float, *, is_text_beyond: bool) -> list[str]:
    one, other = sorted((scale.at(start), scale.at(start + value_of(mark))))
    y = rows.middle(mark.label)
    is_left = is_text_beyond and value_of(mark) < 0
    text = words(mark.text, one - GAP if is_left else other + GAP, y + 4.5, "end" if is_left else "", "value")
    return [
        rows.named(mark.label),
        piece(one, y - THICK / 2, other - one, THICK, hatch="below" if value_of(mark) < 0 else ""),
        text,
    ]


def piece(x: float, y: float, width: float, height: float, *, hatch: str = "", classes: str = "") -> str:
    """A rectangle, and over it the strokes by which it is known without colour."""
    box = element("rect", classes=classes, x=x, y=y, width=width, height=height)
    if not hatch or width < 1:
        return box
    middle = f"M{place(x)} {place(y + height / 2)}h{place(width)}"
    return box + element("path", classes=f"hatch {hatch}", d=middle, stroke_width=height)


def row_stacks(picture: Picture, width: float, codes: Codes) -> Drawn:
    """Pieces that add up, row by row, the sum written at the end where the table has it."""
    sample = {at: piece(0, -6, 20, 12, hatch=f"h{at}", classes=f"s{at}") for at in picture.shown_series}
    top, keyed = key(picture, width, sample)
    rows = rows_of(picture, width, top)
    ends = {name: _ends(picture, name) for name in rows.names}
    sums = {mark.label: mark for mark in picture.totals}
    low, high = scales.span([end for below_above in ends.values() for end in below_above], from_zero=True)
    scale = Linear(low, high, rows.left, width - max(map(room_of, picture.totals), default=0.0))
    made = [rows.named(name) for name in rows.names]
    for name in rows.names:
        made += _stack(picture, rows, scale, name, codes)
        made += [_total(picture, rows, scale.at(ends[name][1]), sums[name], codes)] if name in sums else []
    return rows.bottom, keyed + "".join(made) + _zero(rows, scale)


def _ends(picture: Picture, name: str) -> tuple[float, float]:
    known = [value_of(mark) for mark in picture.drawn if mark.label == name]
    return sum(value for value in known if value < 0), sum(value for value in known if value > 0)


def _stack(picture: Picture, rows: Rows, scale: Linear, name: str, codes: Codes) -> Iterator[str]:
    reached = {True: 0.0, False: 0.0}
    for mark in (mark for mark in picture.drawn if mark.label == name and mark.value):
        start = reached[value_of(mark) < 0]
        reached[value_of(mark) < 0] = start + value_of(mark)
        one, other = sorted((scale.at(start), scale.at(start + value_of(mark))))
        y = rows.middle(name) - THICK / 2
        drawn = piece(one, y, other - one, THICK, hatch=f"h{mark.series}", classes=f"s{mark.series}")
        yield group(picture, mark, [drawn], codes)


def _total(picture: Picture, rows: Rows, end: float, mark: Mark, codes: Codes) -> str:
    return group(picture, mark, [words(mark.text, end + GAP, rows.middle(mark.label) + 4.5, "", "value")], codes)


def _zero(rows: Rows, scale: Linear) -> str:
    return element("path", classes="zero", d=upright(scale.at(0.0), rows.spans))


def upright(x: float, spans: Iterable[Span]) -> str:
    """The strokes of an upright line, from top to bottom of each span."""
    return "".join(f"M{place(x)} {place(top)}V{place(bottom)}" for top, bottom in spans)


def room_of(mark: Mark) -> float:
    """The room that a mark's text takes beside it."""
    return letters.width_of(mark.text, SIZE) + 2 * GAP


def value_of(mark: Mark) -> float:
    """The value of a mark that is drawn."""
    return mark.value or 0.0


KINDS = {Kind.BARS: bars, Kind.WATERFALL: waterfall, Kind.ROW_STACKS: row_stacks}
