"""Points with their intervals on one row per name, over an axis with its limits."""

import math

from dashboards.pictures import letters, scales
from dashboards.pictures.picture import Kind, Limit, Mark, Picture
from dashboards.pictures.row_bars import GAP, THICK, Drawn, Rows, rows_of, upright, value_of
from dashboards.pictures.scales import Linear
from dashboards.pictures.svg_writer import LINE, SIZE, Codes, element, group, key, place, words

MOST_TICKS = 6
# Share of the room right of the names that a text may take.
MOST_TEXT = 0.6


def points(picture: Picture, width: float, codes: Codes) -> Drawn:
    """A point per mark on the line of its name, its interval as a stroke; the first series is written beside it."""
    sample = {at: point(10, 0, at) for at in picture.shown_series}
    top, keyed = key(picture, width, sample) if len(picture.shown_series) > 1 else (0.0, "")
    rows = rows_of(picture, width, top + (LINE + 4 if picture.limits else 0))
    scale = _point_scale(picture, rows)
    behind_first = sorted(picture.drawn, key=lambda mark: -mark.series)
    made = [group(picture, mark, _point(picture, rows, scale, mark), codes, mark.tone.value) for mark in behind_first]
    axis = measured_axis(picture, scale, rows)
    height = rows.bottom + LINE + 4 + (LINE if picture.measured.title else 0)
    return height, f'<g class="plain">{keyed}</g>{axis}{"".join(made)}'


def _point_scale(picture: Picture, rows: Rows) -> Linear:
    """From round value to round value, with room for the words of the outer ticks and, on a wide picture, the texts."""
    known = [each for mark in picture.drawn for each in (mark.value, mark.low, mark.high)]
    low, high = scales.span([*known, *(limit.value for limit in picture.limits)], from_zero=picture.measured.from_zero)
    written = [letters.width_of(written_of(mark, rows), SIZE) + 2 * GAP for mark in picture.of_series(0)]
    texts = 0.0 if rows.is_narrow else max(written, default=0.0)
    low, high = scales.widened(low, high, MOST_TICKS)
    half = max(letters.width_of(scales.written(value, picture.measured), SIZE) for value in (low, high)) / 2
    return Linear(low, high, rows.left + half, rows.width - max(half, texts))


def written_of(mark: Mark, rows: Rows) -> str:
    """The mark's text; without its interval, which is drawn, where both would leave too little room."""
    is_long = letters.width_of(mark.text, SIZE) > MOST_TEXT * (rows.width - rows.left)
    return mark.text.split(" (")[0] if is_long else mark.text


def _beside(picture: Picture, rows: Rows, scale: Linear, mark: Mark) -> str:
    """The value's text, clear of all other marks of its row; on a narrow picture at the end of the name's line."""
    y = rows.middle(mark.label)
    if rows.is_narrow:
        return words(written_of(mark, rows), rows.width, y - THICK / 2 - 6, "end", "value")
    own, wide = [each for each in picture.drawn if each.label == mark.label], letters.width_of(mark.text, SIZE)
    x = scale.at(value_of(mark)) - GAP - 4
    if len(own) > 1 and value_of(mark) == min(map(value_of, own)) and mark.low is None and x - wide > rows.left + 4:
        return words(mark.text, x, y + 4.5, "end", "value")
    end = max(scale.at(each.high if each.high is not None else value_of(each)) for each in own)
    return words(written_of(mark, rows), end + GAP + 4, y + 4.5, "", "value")


def _point(picture: Picture, rows: Rows, scale: Linear, mark: Mark) -> list[str]:
    x, y = scale.at(value_of(mark)), rows.middle(mark.label)
    made = [] if mark.series else [rows.named(mark.label, written_of(mark, rows))]
    if mark.low is not None and mark.high is not None:
        reach = f"M{place(scale.at(mark.low))} {place(y)}H{place(scale.at(mark.high))}"
        made.append(element("path", classes="reach", d=reach))
    made.append(point(x, y, mark.series))
    return made if mark.series else [*made, _beside(picture, rows, scale, mark)]


def point(x: float, y: float, series: int) -> str:
    """A mark of a shape of its own for each series: full circle, hollow diamond, full square, hollow triangle."""
    at = f"M{place(x)} {place(y)}"
    shapes = ("", "m0-6l6 6l-6 6l-6-6z", "m-4.5-4.5h9v9h-9z", "m0-6l6 10h-12z")
    shape = series % len(shapes)
    if not shape:
        return element("circle", classes="point", cx=x, cy=y, r=5)
    return element("path", classes="point hollow" if shape % 2 else "point", d=at + shapes[shape])


def measured_axis(picture: Picture, scale: Linear, rows: Rows) -> str:
    """Upright lines at round values, the numbers below them, limits with their words, and what is measured."""
    made = []
    ticks = scales.ticks(scale.low, scale.high, MOST_TICKS)
    widest = max(letters.width_of(scales.written(value, picture.measured), SIZE) for value in ticks)
    apart = scale.at(ticks[1]) - scale.at(ticks[0]) if len(ticks) > 1 else 1.0
    step = max(1, math.ceil((widest + 8) / apart))
    for value in ticks[::step]:
        x = scale.at(value)
        made.append(element("path", classes="grid" if value else "zero", d=upright(x, rows.spans)))
        made.append(words(scales.written(value, picture.measured), x, rows.bottom + LINE, "middle", "tick"))
    made += [_limit(scale, limit, rows) for limit in picture.limits]
    made.append(words(picture.measured.title, scale.start, rows.bottom + 2 * LINE, "", "tick"))
    return f'<g class="axis">{"".join(made)}</g>'


def _limit(scale: Linear, limit: Limit, rows: Rows) -> str:
    x, wide = scale.at(limit.value), letters.width_of(limit.label, SIZE)
    left = min(max(x - wide / 2, scale.start), scale.end - wide)
    line = element("path", classes="limit", d=upright(x, rows.spans))
    return line + words(limit.label, left, rows.top - 6, "", "limit")


KINDS = {Kind.POINTS: points}
