"""Upright bars: by month in pieces, and over the bins of a measure with its limit."""

from collections.abc import Iterator

from dashboards.pictures import letters
from dashboards.pictures.axes import Field, field_of
from dashboards.pictures.picture import Kind, Mark, Picture
from dashboards.pictures.row_bars import Drawn, piece
from dashboards.pictures.svg_writer import LINE, SIZE, Codes, element, group, key, place, words


def month_stacks(picture: Picture, width: float, codes: Codes) -> Drawn:
    """Upright bars by month, a piece per series; hatches tell them apart without colour."""
    sample = {at: piece(0, -6, 20, 12, hatch=f"h{at}", classes=f"s{at}") for at in picture.shown_series}
    top, keyed = key(picture, width, sample)
    field = field_of(picture, width, top, 12)
    thick = 0.7 * (field.x.at(1.0) - field.x.at(0.0))
    reached: dict[float, float] = {}
    made = []
    for mark in picture.drawn:
        start = reached.get(mark.at, 0.0)
        reached[mark.at] = start + (mark.value or 0.0)
        upper, lower = sorted((field.y.at(start), field.y.at(reached[mark.at])))
        x = field.x.at(mark.at) - thick / 2
        drawn = piece(x, upper, thick, lower - upper, hatch=f"h{mark.series}", classes=f"s{mark.series}")
        made.append(group(picture, mark, [drawn], codes))
    return field.bottom, keyed + field.axes + "".join(made)


def histogram(picture: Picture, width: float, codes: Codes) -> Drawn:
    """Bars over the bins of a measure, and a marked limit; a bin beyond it has the tone that its mark says."""
    field = field_of(picture, width, 0.0, 12)
    made = [group(picture, mark, [_bin(field, mark)], codes, mark.tone.value) for mark in picture.drawn]
    return field.bottom, field.axes + "".join(made) + "".join(_limits(picture, field, width))


def _bin(field: Field, mark: Mark) -> str:
    left, right = field.x.at(mark.at), field.x.at(mark.until)
    top = field.y.at(mark.value or 0.0)
    gap = min(1.0, (right - left) / 4)
    hatch = "below" if mark.tone.value == "bad" else ""
    return piece(left + gap / 2, top, right - left - gap, field.y.start - top, hatch=hatch)


def _limits(picture: Picture, field: Field, width: float) -> Iterator[str]:
    for at, limit in enumerate(picture.limits):
        x = field.x.at(limit.value)
        y = field.y.end - 14 - (LINE + 4) * at
        taken = letters.width_of(limit.label, SIZE)
        is_left = x + taken > width
        label = letters.cut(limit.label, x if is_left else width - x, SIZE)
        yield element("path", classes="limit", d=f"M{place(x)} {place(field.y.start)}V{place(y + 3)}")
        yield words(label, x - 4 if is_left else x + 4, y, "end" if is_left else "", "limit", limit.label)


KINDS = {Kind.MONTH_STACKS: month_stacks, Kind.HISTOGRAM: histogram}
