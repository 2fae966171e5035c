"""The review page of one month: one self-contained HTML file, drawn from tables.

It asks for nothing over the network, and its content policy forbids it to: scripts run only if their digest is named.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from dashboards import formats, pages
from dashboards.parts import Review, Section
from dashboards.sections import all_sections
from dashboards.views import FILTERS, PartView, SectionView, section_view
from models import columns
from models.shop_units import Units

__all__ = ["Review", "render"]


@dataclass(frozen=True)
class Filter:
    """A choice above the page. options: (code, text) pairs; a row carries the code of its own value."""

    column: str
    label: str
    options: Sequence[tuple[int, str]]


@dataclass(frozen=True)
class Word:
    """A column's label and meaning for the glossary."""

    label: str
    meaning: str


def render(
    review: Review, sections: Sequence[Section] | None = None, template: str = "review.html", **content: Any
) -> str:
    """The page as HTML text. Sections that the records cannot fill are left out.

    template: review.html or one that extends it and says other words by `content`.
    Raises KeyError where a handed table lacks a column that a section shows.
    """
    known = [section_view(section, review) for section in sections or all_sections() if section.is_shown(review)]
    views = [shown for shown in known if shown.is_filled]
    parts = [part for view in views for part in view.parts]
    codes = _codes(parts)
    return pages.page(
        template,
        scripts={"script": pages.text("page.js")},
        review=review,
        sections=views,
        codes=codes,
        filters=_filters(codes),
        words=_words(views, review.units),
        **content,
    )


def _codes(parts: Sequence[PartView]) -> dict[str, dict[Any, int]]:
    """For each filter column a code per distinct value; a column with one value is no choice."""
    found: dict[str, set[Any]] = {column: set() for column in FILTERS}
    for line in (line for part in parts for line in part.lines):
        for column, value in line.sorted_by.items():
            found[column].add(value)
    return {
        column: {value: code for code, value in enumerate(sorted(values, key=str))}
        for column, values in found.items()
        if len(values) > 1
    }


def _filters(codes: dict[str, dict[Any, int]]) -> list[Filter]:
    return [
        Filter(column, columns.label(column), [(code, formats.plain(value, 40)) for value, code in values.items()])
        for column, values in codes.items()
    ]


def _words(views: Sequence[SectionView], units: Units) -> list[Word]:
    used = {column for view in views for part in view.parts for column in part.columns}
    words = [Word(columns.head(column, units), columns.meaning(column, units)) for column in used]
    telling = (word for word in words if word.meaning.lower() not in ("", word.label.lower()))
    return sorted(telling, key=lambda word: word.label.lower())
