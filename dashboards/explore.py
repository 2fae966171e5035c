"""The file beside a review page in which a reader explores its pictures: hover, zoom, filter. Plotly draws it."""

import json
from collections.abc import Sequence
from functools import cache
from typing import Any

from markupsafe import Markup

from dashboards import pages
from dashboards.panels import Panel
from dashboards.pictures import Picture
from dashboards.pictures.plotly_figure import figure
from dashboards.pictures.svg_writer import Codes
from dashboards.review_tables import Review
from dashboards.sections import all_sections
from dashboards.template_parts import codes_of, filter_of
from dashboards.views import picture

# Characters that could end a script element or a line of script. All stand inside JSON strings only.
UNSAFE = {ord(mark): f"\\u{ord(mark):04x}" for mark in "<>&'\u2028\u2029"}


def render_explore(review: Review) -> str:
    """The file as HTML text: every picture of the review's page, and the filters that reach any."""
    shown = [section for section in all_sections() if section.is_shown(review)]
    panels = [part for section in shown for part in section.parts if isinstance(part, Panel) and review.has(part.table)]
    return explore([made for panel in panels if (made := picture(panel, review))], review)


def explore(pictures: Sequence[Picture], review: Review) -> str:
    """The file of these pictures. Raises ValueError for a value that is no number."""
    codes = codes_of(by for each in pictures for by in each.filters.values())
    return pages.page(
        "explore.html",
        scripts={"plotly": _plotly() if pictures else "", "script": pages.text("pictures/explore.js")},
        review=review,
        pictures=[(each, _as_json(each, codes)) for each in pictures],
        filters=[filter_of(column, values, codes) for column, values in codes.items()],
    )


def _as_json(each: Picture, codes: Codes) -> Markup:
    by = {
        row: {column: codes[column][value] for column, value in chosen.items() if column in codes}
        for row, chosen in each.filters.items()
    }
    return as_json({**figure(each), "by": by})


def as_json(content: Any) -> Markup:
    """JSON that cannot leave its script element. Raises ValueError for NaN or infinity."""
    return Markup(json.dumps(content, allow_nan=False, ensure_ascii=False).translate(UNSAFE))


@cache
def _plotly() -> str:
    from plotly.offline import get_plotlyjs  # five megabytes: read once, and only where there is a picture

    return str(get_plotlyjs())
