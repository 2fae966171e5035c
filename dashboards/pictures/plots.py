"""Lines over an axis that runs to the right: by month, in steps over a measure, and the small line of a headline."""

from collections.abc import Iterator, Sequence

from dashboards.pictures import letters, scales
from dashboards.pictures.axes import Field, along_name, field_of
from dashboards.pictures.picture import Kind, Mark, Picture, Tone
from dashboards.pictures.points import point
from dashboards.pictures.row_bars import NARROW, Drawn
from dashboards.pictures.scales import Linear
from dashboards.pictures.svg_writer import LINE, SIZE, Codes, element, group, key, place, words


def lines(picture: Picture, width: float, codes: Codes) -> Drawn:
    """A line per series with its marks, its name and last value at its end; a band where marks have limits."""
    is_named = len(picture.shown_series) > 1
    ends = _ends(picture) if width >= NARROW else {}
    sample = {at: f'<g class="s{at}">{_stroke(at, "M0 0H20")}{point(10, 0, at)}</g>' for at in picture.shown_series}
    top, keyed = key(picture, width, sample) if is_named and not ends else (0.0, "")
    right = max((letters.width_of(text, SIZE) for text in ends.values()), default=0.0)
    field = field_of(picture, width, top, 12 + right)
    made = [band(picture, field), *(_line(picture, field, at, codes) for at in picture.shown_series)]
    return field.bottom, keyed + field.axes + "".join(made) + "".join(_end_names(picture, field, ends))


def _ends(picture: Picture) -> dict[int, str]:
    is_named = len(picture.series) > 1
    last = {at: picture.of_series(at)[-1] for at in picture.shown_series}
    return {
        at: letters.cut(f"{mark.text} {picture.series[at]}" if is_named else mark.text, 200.0, SIZE)
        for at, mark in last.items()
    }


def _end_names(picture: Picture, field: Field, ends: dict[int, str]) -> Iterator[str]:
    """The names at the ends of the lines, parted so that none meets another."""
    wanted = sorted((field.y.at(picture.of_series(at)[-1].value or 0.0), at) for at in ends)
    places = parted([y for y, _ in wanted], LINE, field.y.end, field.y.start)
    for y, (_, at) in zip(places, wanted, strict=True):
        yield words(ends[at], field.x.end + 12, y + 4.5, "", "value")


def parted(wanted: Sequence[float], gap: float, first: float, last: float) -> list[float]:
    """Places near the wanted ones, in their order, at least `gap` apart and from first to last where there is room."""
    made: list[float] = []
    for place_wanted in wanted:
        made.append(max(place_wanted, made[-1] + gap if made else first))
    over = max(0.0, made[-1] - last) if made else 0.0
    for at in reversed(range(len(made))):
        limit = last if at == len(made) - 1 else made[at + 1] - gap
        made[at] = min(made[at], limit) if over else made[at]
    return made


def _line(picture: Picture, field: Field, series: int, codes: Codes) -> str:
    marks = picture.marks_of(series)
    path = _path(picture, field, marks)
    drawn = [mark for mark in marks if mark.value is not None]
    is_dotted = len(drawn) <= 40
    made = [group(picture, mark, [_dot(field, mark)], codes, _unusual(mark)) for mark in drawn if is_dotted]
    return f'<g class="s{series}">{_stroke(series, path)}{"".join(made)}</g>'


def _unusual(mark: Mark) -> str:
    return mark.tone.value if mark.tone is Tone.MARKED else ""


def _dot(field: Field, mark: Mark) -> str:
    return point(field.x.at(mark.at), field.y.at(mark.value or 0.0), mark.series)


def _path(picture: Picture, field: Field, marks: Sequence[Mark]) -> str:
    made, is_begun = "", False
    for mark in marks:
        if mark.value is None:
            is_begun = False
            continue
        x, y = place(field.x.at(mark.at)), field.y.at(mark.value)
        step = f"H{x}V{place(y)}" if picture.kind is Kind.STEPS else f"L{x} {place(y)}"
        made += step if is_begun else f"M{x} {place(y)}"
        is_begun = True
    return made


def _stroke(series: int, path: str) -> str:
    return element("path", classes=f"line d{series} s{series}", d=path)


def band(picture: Picture, field: Field) -> str:
    """The area between the lower and the upper limits of the first series."""
    known = [mark for mark in picture.marks if not mark.series and mark.low is not None and mark.high is not None]
    if len(known) < 2:
        return ""
    there = [f"{place(field.x.at(mark.at))} {place(field.y.at(mark.high or 0.0))}" for mark in known]
    back = [f"{place(field.x.at(mark.at))} {place(field.y.at(mark.low or 0.0))}" for mark in reversed(known)]
    return element("path", classes="band", d=f"M{'L'.join([*there, *back])}Z")


def small_line(picture: Picture, width: float, codes: Codes) -> Drawn:
    """The course of a value in little room: no axes but zero, the last value written, first and last month named."""
    marks = picture.drawn
    last, (low, high) = marks[-1], scales.span([mark.value for mark in marks], from_zero=True)
    right = width - letters.width_of(last.text, SIZE) - 14
    field = Field(Linear(marks[0].at, last.at, 4, right), Linear(low, high, 44, 6), "", 66)
    zero = element("path", classes="zero", d=f"M4 {place(field.y.at(0.0))}H{place(right)}")
    path = _stroke(0, _path(picture, field, picture.marks))
    made = [group(picture, mark, [_small_dot(field, mark)], codes, mark.tone.value) for mark in marks]
    named = words(last.text, right + 10, min(max(field.y.at(last.value or 0.0) + 4.5, 14), 46), "", "value")
    months = words(along_name(marks[0].at, picture), 0, 62, "", "tick") + words(
        along_name(last.at, picture), right, 62, "end", "tick"
    )
    return field.bottom, zero + f'<g class="s0">{path}</g>' + "".join(made) + named + months


def _small_dot(field: Field, mark: Mark) -> str:
    return element("circle", classes="point", cx=field.x.at(mark.at), cy=field.y.at(mark.value or 0.0), r=2.5)


KINDS = {Kind.LINES: lines, Kind.STEPS: lines, Kind.SMALL_LINE: small_line}
