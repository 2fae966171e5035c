"""The file beside a review page in which a reader explores its pictures: hover, zoom, filter. Plotly draws it."""

from __future__ import annotations

import json
from collections.abc import Hashable, Sequence
from functools import cache
from typing import Any

from markupsafe import Markup

from dashboards import formats, pages
from dashboards.parts import Panel, Review
from dashboards.pictures import Picture
from dashboards.pictures.plotly_figure import figure
from dashboards.sections import all_sections
from dashboards.views import picture
from models import columns

# Characters that could end a script element or a line of script. All stand inside JSON strings only.
UNSAFE = {ord(mark): f"\\u{ord(mark):04x}" for mark in "<>&'\u2028\u2029"}


def render_explore(review: Review) -> str:
    """The file as HTML text: every picture of the review's page, and the filters that reach any."""
    shown = [section for section in all_sections() if section.is_shown(review)]
    panels = [part for section in shown for part in section.parts if isinstance(part, Panel) and review.has(part.table)]
    return explore([made for panel in panels if (made := picture(panel, review))], review)


def explore(pictures: Sequence[Picture], review: Review) -> str:
    """The file of these pictures. Raises ValueError for a value that is no number."""
    codes = _codes(pictures)
    options = {
        column: [(code, formats.plain(value, 40)) for value, code in found.items()] for column, found in codes.items()
    }
    return pages.page(
        "explore.html",
        scripts={"plotly": _plotly() if pictures else "", "script": pages.text("pictures/explore.js")},
        review=review,
        pictures=[(each, _as_json(each, codes)) for each in pictures],
        filters=[(column, columns.label(column), found) for column, found in options.items()],
    )


def _codes(pictures: Sequence[Picture]) -> dict[str, dict[Hashable, int]]:
    """A code per value of each filter; a filter of one value is no choice."""
    found: dict[str, set[Hashable]] = {}
    for each in pictures:
        for by in each.filters.values():
            for column, value in by.items():
                found.setdefault(column, set()).add(value)
    return {
        column: {value: code for code, value in enumerate(sorted(values, key=str))}
        for column, values in found.items()
        if len(values) > 1
    }


def _as_json(each: Picture, codes: dict[str, dict[Hashable, int]]) -> Markup:
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
