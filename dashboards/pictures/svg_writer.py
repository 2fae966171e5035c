"""SVG as text: elements, escaped texts, groups that say which cell they show. Colours are the style sheet's."""

import html
from collections.abc import Hashable, Iterable, Mapping, Sequence

from dashboards import formats
from dashboards.pictures import letters
from dashboards.pictures.picture import Block, Mark, Picture, Scale

# Sizes of type in the picture's units, which are the page's pixels at full size.
SIZE, SMALL = 13.0, 11.0
LINE = 16.0
Codes = Mapping[str, Mapping[Hashable, int]]


def escaped(text: str) -> str:
    """Text for an element or an attribute; letters that XML has no place for are dropped."""
    return html.escape("".join(letter for letter in formats.UNSEEN.sub("", text) if letter not in "\ufffe\uffff"))


def place(value: float) -> str:
    """A coordinate to a tenth, as short as it can be written."""
    return f"{round(value, 1) + 0.0:.1f}".removesuffix(".0")


def element(tag: str, content: str = "", classes: str = "", **attributes: float | str) -> str:
    """One element; numbers are places, `stroke_width` is written stroke-width."""
    named = {"class": classes, **{name.replace("_", "-"): value for name, value in attributes.items()}}
    written = "".join(
        f' {name}="{value if isinstance(value, str) else place(value)}"' for name, value in named.items() if value != ""
    )
    return f"<{tag}{written}>{content}</{tag}>" if content else f"<{tag}{written}/>"


def words(text: str, x: float, y: float, anchor: str = "", classes: str = "", whole: str = "") -> str:
    """A text at its base line. anchor: "end" or "middle". whole: the text before it was cut, shown where it was."""
    title = f"<title>{escaped(whole)}</title>" if whole and whole != text else ""
    return element("text", escaped(text) + title, classes, x=x, y=y, text_anchor=anchor) if text else ""


def lines_of_words(lines: Sequence[str], x: float, y: float, anchor: str, classes: str, whole: str) -> str:
    """Texts below each other; the first one's base line is at y."""
    is_cut = " ".join(lines) != whole
    return "".join(
        words(line, x, y + at * LINE, anchor, classes, whole if is_cut and not at else "")
        for at, line in enumerate(lines)
    )


def group(picture: Picture, mark: Mark | Block | Scale, content: Iterable[str], codes: Codes, classes: str = "") -> str:
    """What shows one cell: the row and column it came from, and the codes of the filters that reach it."""
    origin = f'data-row="{mark.row}" data-column="{escaped(mark.column)}"'
    chosen = picture.filters.get(mark.row, {})
    by = "".join(
        f' data-by-{name}="{codes[name][value]}"' for name, value in chosen.items() if value in codes.get(name, {})
    )
    return f'<g class="{f"mark {classes}".strip()}" {origin}{by}>{"".join(content)}</g>'


def key(picture: Picture, width: float, sample: Mapping[int, str]) -> tuple[float, str]:
    """Names of the series above the picture, each behind its sample, on as many lines as they need; their height."""
    x, y, made = 0.0, 0.0, []
    for at in picture.shown_series:
        name = letters.cut(picture.series[at], width - 30, SIZE)
        taken = 30 + letters.width_of(name, SIZE)
        if x and x + taken > width:
            x, y = 0.0, y + LINE + 4
        moved = element("g", sample[at], transform=f"translate({place(x)} {place(y + 8)})")
        made += [moved, words(name, x + 26, y + 12.5, whole=picture.series[at])]
        x += taken + 18
    return (y + LINE + 10 if made else 0.0), "".join(made)
