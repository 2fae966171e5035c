"""Drawings to scale: how goods lie seen from above and from the side, where a carton is scored and cut."""

from collections.abc import Iterator

from dashboards.pictures import letters
from dashboards.pictures.picture import Block, Kind, Picture, Scale
from dashboards.pictures.plots import parted
from dashboards.pictures.row_bars import Drawn
from dashboards.pictures.scales import Linear
from dashboards.pictures.svg_writer import LINE, SIZE, SMALL, Codes, element, escaped, group, place, words

MOST_HEIGHT = 320.0
APART = 26.0


def drawing(picture: Picture, width: float, codes: Codes) -> Drawn:
    """Every view below the one before, all at one scale; measures to the right of the view that they belong to. The
    views of a carton together are no higher than one of layers, so that half a page holds them in type to be read."""
    room = max((letters.width_of(scale.text, SIZE) for scale in picture.scales), default=0.0)
    room = min(room + 34, width / 2) if room else 0.0
    wide = max(block.left + block.width for block in picture.blocks)
    highs: dict[str, float] = {}
    for block in picture.blocks:
        highs[block.view] = max(highs.get(block.view, 0.0), block.bottom + block.height)
    high = sum(highs.values()) if picture.kind is Kind.CARTON else max(highs.values())
    per_unit = min((width - room - 2) / wide, MOST_HEIGHT / high)
    top, made = 0.0, []
    for view, views_high in highs.items():
        tall = views_high * per_unit
        made.append(words(letters.cut(view, width, SIZE), 0, top + 12, "", "tick", view))
        made += _view(picture, view, Linear(0, wide, 1, 1 + wide * per_unit), top + LINE + 4 + tall, width, codes)
        top += LINE + 4 + tall + APART
    return top - APART + 4, "".join(made)


def _view(picture: Picture, view: str, x: Linear, floor: float, width: float, codes: Codes) -> Iterator[str]:
    y = Linear(0, 1, floor, floor - (x.at(1.0) - x.at(0.0)))
    for block in picture.blocks:
        if block.view == view:
            look = f"block s{block.series} {'dashed' if block.is_dashed else ''}".strip()
            yield group(picture, block, _block(block, x, y), codes, f"{look} {block.tone.value}")
    own = sorted((scale for scale in picture.scales if scale.view == view), key=lambda scale: -scale.start)
    middles = parted([y.at((scale.start + scale.end) / 2) for scale in own], LINE, 0.0, floor)
    for scale, middle in zip(own, middles, strict=True):
        yield group(picture, scale, _scale(scale, x, y, width, middle), codes, "scale")


def _block(block: Block, x: Linear, y: Linear) -> list[str]:
    left, right = x.at(block.left), x.at(block.left + block.width)
    top, bottom = y.at(block.bottom + block.height), y.at(block.bottom)
    box = element("rect", classes="block", x=left, y=top, width=right - left, height=bottom - top)
    fits = letters.width_of(block.number, SMALL) <= right - left - 2 and bottom - top >= SMALL
    number = words(block.number, (left + right) / 2, (top + bottom) / 2 + 4, "middle", "number") if fits else ""
    return [box, element("title", escaped(block.label)) if block.label else "", number]


def _scale(scale: Scale, x: Linear, y: Linear, width: float, middle: float) -> list[str]:
    right = x.end + 14
    low, high = y.at(scale.start), y.at(scale.end)
    stroke = f"M{place(right - 4)} {place(low)}h8m-4 0V{place(high)}m-4 0h8"
    text = letters.cut(scale.text, width - right - 12, SIZE)
    return [element("path", classes="scale", d=stroke), words(text, right + 10, middle + 4.5, "", "value", scale.text)]


KINDS = {Kind.LAYERS: drawing, Kind.CARTON: drawing}
