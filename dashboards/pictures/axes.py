"""The axes of pictures whose values go up over another measure: scales, round ticks, words clear of each other."""

import datetime as dt
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from dashboards import formats
from dashboards.pictures import letters, scales
from dashboards.pictures.picture import Kind, Picture
from dashboards.pictures.row_bars import NARROW
from dashboards.pictures.scales import Linear
from dashboards.pictures.svg_writer import LINE, SIZE, element, place, words
from models.columns import Display

HEIGHT, LOW_HEIGHT = 220.0, 170.0
MOST_UPRIGHT = 6


@dataclass(frozen=True)
class Field:
    """The area of a plot: its scales, its drawn axes, and the height that they end at."""

    x: Linear
    y: Linear
    axes: str
    bottom: float


def field_of(picture: Picture, width: float, top: float, right: float) -> Field:
    """Axes and scales: values up, the other measure to the right, words and numbers clear of each other."""
    asked = scales.span(_heights(picture), from_zero=picture.measured.from_zero)
    low, high = scales.widened(*asked, MOST_UPRIGHT)
    names = {value: scales.written(value, picture.measured) for value in scales.ticks(low, high, MOST_UPRIGHT)}
    start, end = _along(picture)
    half = max(letters.width_of(along_name(mark.at, picture), SIZE) for mark in picture.drawn) / 2
    left = max(max(letters.width_of(name, SIZE) for name in names.values()) + 8, half)
    top += LINE + 14 if picture.measured.title else 8
    top += (LINE + 4) * len(picture.limits)
    bottom = top + (HEIGHT if width >= NARROW else LOW_HEIGHT)
    x = Linear(start, end, left, width - max(right, half))
    y = Linear(low, high, bottom, top)
    made = [words(picture.measured.title, 0, y.end - 14 - (LINE + 4) * len(picture.limits), "", "tick")]
    for value, name in names.items():
        made.append(
            element(
                "path", classes="zero" if not value else "grid", d=f"M{place(left)} {place(y.at(value))}H{place(x.end)}"
            )
        )
        made.append(words(name, left - 8, y.at(value) + 4.5, "end", "tick"))
    made += _along_words(picture, x, bottom, 2 * half)
    title_below = LINE if picture.along.title else 0
    return Field(x, y, f'<g class="axis">{"".join(made)}</g>', bottom + LINE + 8 + title_below)


def _heights(picture: Picture) -> list[float | None]:
    if picture.kind is Kind.MONTH_STACKS:
        return [sum(m.value or 0.0 for m in picture.drawn if m.at == at) for at in {m.at for m in picture.drawn}]
    limits = [] if picture.kind is Kind.HISTOGRAM else [limit.value for limit in picture.limits]
    return [*(each for mark in picture.marks for each in (mark.value, mark.low, mark.high)), *limits]


def _along(picture: Picture) -> tuple[float, float]:
    places = [each for mark in picture.drawn for each in (mark.at, mark.until or mark.at)]
    if picture.kind is Kind.HISTOGRAM:
        places += [limit.value for limit in picture.limits]
    low, high = scales.span(places, from_zero=False)
    if picture.kind is Kind.MONTH_STACKS:
        return low - 0.5, high + 0.5
    return low, high


def along_name(value: float, picture: Picture) -> str:
    """A place on the axis to the right, in words."""
    if picture.along.display is Display.DAY:
        return formats.day(dt.date.fromordinal(int(value)))
    return scales.written(value, picture.along)


def _along_words(picture: Picture, x: Linear, bottom: float, widest: float) -> Iterator[str]:
    most = max(2, int((x.end - x.start) / (widest + 14)) + 1)
    for value in along_ticks(picture, x, most):
        yield element("path", classes="tick", d=f"M{place(x.at(value))} {place(bottom)}v5")
        yield words(along_name(value, picture), x.at(value), bottom + LINE + 4, "middle", "tick")
    yield words(picture.along.title, x.start, bottom + 2 * LINE + 4, "", "tick")


def along_ticks(picture: Picture, x: Linear, most: int) -> Sequence[float]:
    """Where the axis to the right is marked."""
    if picture.along.display in (Display.MONTH, Display.DAY):
        unit = 7 if picture.along.display is Display.DAY else 1
        step = unit * max(1, math.ceil((x.high - x.low) / max(most - 1, 1) / unit))
        first, last = math.ceil(min(mark.at for mark in picture.drawn)), int(max(mark.at for mark in picture.drawn))
        return [float(at) for at in range(last, first - 1, -step)]
    return scales.ticks(x.low, x.high, most, whole=picture.along.display is Display.COUNT)
