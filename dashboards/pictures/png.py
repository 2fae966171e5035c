"""A picture as PNG for a letter: the page's own drawing in the light colours, with a font that lies beside here."""

import re
from pathlib import Path

from dashboards import palette
from dashboards.pictures.picture import Picture
from dashboards.pictures.svg import svg

HERE = Path(__file__).parent
# So that letters look the same on every machine, and on one without fonts.
FONT, FAMILY = HERE / "DejaVuSans.ttf", "DejaVu Sans"
# Between the page's two widths: on a phone its words are still read. Twice as many points, for dense screens.
LETTER = 440.0
WIDTH_PX = 2 * int(LETTER)


def png(picture: Picture) -> bytes:
    """The picture's drawing for a letter as the bytes of a PNG file."""
    import resvg_py  # loaded where a letter is written, not for `--help`

    return bytes(
        resvg_py.svg_to_bytes(
            svg_string=standing_alone(picture),
            width=WIDTH_PX,
            background=palette.LIGHT["sheet"],
            skip_system_fonts=True,
            font_files=[str(FONT)],
            font_family=FAMILY,
            sans_serif_family=FAMILY,
        )
    )


def standing_alone(picture: Picture) -> str:
    """The drawing as a file of its own: the style sheet within it, its variables replaced by the light colours."""
    style = re.sub(r"var\(--(\w+)\)", lambda found: palette.LIGHT[found[1]], (HERE / "marks.css").read_text("utf-8"))
    drawing = str(svg(picture, LETTER))
    root = f'<svg xmlns="http://www.w3.org/2000/svg" font-family="{FAMILY}" '
    return drawing.replace("<svg ", root, 1).replace("<title>", f"<style>{style}</style><title>", 1)
