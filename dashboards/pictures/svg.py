"""A picture as SVG, in the two widths of the page. No script is needed, and all colours are the style sheet's."""

from markupsafe import Markup

from dashboards.pictures import drawings, grids, plots, points, row_bars, upright_bars
from dashboards.pictures.picture import Picture
from dashboards.pictures.svg_writer import SIZE, Codes, escaped, place, words

DESK, PHONE = 600.0, 340.0
KINDS = {**row_bars.KINDS, **points.KINDS, **plots.KINDS, **upright_bars.KINDS, **grids.KINDS, **drawings.KINDS}


def svg(picture: Picture, width: float = DESK, codes: Codes | None = None, classes: str = "") -> Markup:
    """One drawing of so many units of width; its height follows from what it holds.

    codes: what the page's filters call the values of `picture.filters`.
    """
    height, body = KINDS[picture.kind](picture, width, codes or {})
    height += 20 if picture.more else 0
    described = f"<title>{escaped(picture.title)}</title><desc>{escaped(picture.alt)}</desc>"
    box = f"-2 -2 {place(width + 4)} {place(height + 6)}"
    return Markup(
        f'<svg class="picture {classes}" role="img" data-plain="" data-table="{escaped(picture.table)}" '
        f'viewBox="{box}" font-size="{place(SIZE)}">'
        f"{described}{body}{words(picture.more, 0, height - 2, '', 'tick')}</svg>"
    )


def both_widths(picture: Picture, codes: Codes | None = None) -> Markup:
    """The picture for a desk and for a phone; the style sheet shows one of them, by the room that there is."""
    desk, phone = (svg(picture, width, codes, name) for width, name in ((DESK, "desk"), (PHONE, "phone")))
    return Markup('<div class="drawing">{}{}</div>').format(desk, phone)
