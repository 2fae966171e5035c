"""Grids of values: the number in each cell, a tint by its size. What does not fit side by side stands below."""

from collections.abc import Iterator, Sequence

from dashboards.pictures import letters
from dashboards.pictures.picture import Kind, Mark, Picture
from dashboards.pictures.row_bars import NARROW, Drawn
from dashboards.pictures.svg_writer import LINE, SIZE, Codes, element, group, lines_of_words, words

CELL_HEIGHT = 26.0
TINTS = 4
HEAD_LINES = 2


def grid(picture: Picture, width: float, codes: Codes) -> Drawn:
    """One row per label, one column per `across`, columns in blocks as many as fit beside the names."""
    labels = list(dict.fromkeys(mark.label for mark in picture.drawn))
    heads = list(dict.fromkeys(mark.across for mark in picture.drawn))
    left = min(max(letters.width_of(label, SIZE) for label in labels), (0.3 if width >= NARROW else 0.36) * width) + 10
    widest = max(letters.width_of(mark.text, SIZE) for mark in picture.drawn) + 10
    words_wide = max((letters.width_of(word, SIZE) for head in heads for word in head.split()), default=0.0) + 6
    at_least = max(widest, min(words_wide, 90.0))
    beside = max(1, min(len(heads), int((width - left) / at_least)))
    cell = max(at_least, min((width - left) / beside, 110.0))
    top, made = 0.0, list[str]()
    for start in range(0, len(heads), beside):
        some = heads[start : start + beside]
        made += _block(picture, labels, some, (left, top, min(cell, width - left)), codes)
        top += HEAD_LINES * LINE + 8 + CELL_HEIGHT * len(labels) + 14
    return top - 14 + (LINE if picture.along.title else 0), "".join(made) + words(
        picture.along.title, 0, top, "", "tick"
    )


def _block(
    picture: Picture, labels: Sequence[str], heads: Sequence[str], where: tuple[float, float, float], codes: Codes
) -> Iterator[str]:
    left, top, cell = where
    for at, head in enumerate(heads):
        lines = letters.wrapped(head, cell - 4, SIZE, HEAD_LINES)
        y = top + 12 + (HEAD_LINES - len(lines)) * LINE
        yield lines_of_words(lines, left + cell * (at + 0.5), y, "middle", "tick", head)
    start = top + HEAD_LINES * LINE + 4
    for at, label in enumerate(labels):
        name = letters.cut(label, left - 10, SIZE)
        yield words(name, left - 10, start + CELL_HEIGHT * (at + 0.5) + 4.5, "end", whole=label)
    greatest = max(abs(mark.value or 0.0) for mark in picture.drawn) or 1.0
    for mark in picture.drawn:
        if mark.across in heads:
            x, y = left + cell * heads.index(mark.across), start + CELL_HEIGHT * labels.index(mark.label)
            yield group(picture, mark, _cell(mark, x, y, cell, greatest), codes, mark.tone.value)


def _cell(mark: Mark, x: float, y: float, width: float, greatest: float) -> list[str]:
    tint = round(TINTS * abs(mark.value or 0.0) / greatest)
    box = element("rect", classes=f"cell t{tint}", x=x + 1, y=y + 1, width=width - 2, height=CELL_HEIGHT - 2)
    return [box, words(mark.text, x + width / 2, y + CELL_HEIGHT / 2 + 4.5, "middle", "value")]


KINDS = {Kind.GRID: grid}
