"""The review page of one month: one self-contained HTML file, drawn from tables.

It asks for nothing over the network, and its content policy forbids it to: scripts run only if their digest is named.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from dashboards import formats, pages
from dashboards.chapters import ChapterView, chapter_views
from dashboards.front import front_view
from dashboards.parts import Review, Section
from dashboards.sections import all_sections
from dashboards.shown import PartView
from dashboards.views import FILTERS, section_view
from models import columns
from models.shop_units import Units

__all__ = ["Review", "render", "render_sections"]

Codes = Mapping[str, Mapping[Any, int]]


@dataclass(frozen=True)
class Filter:
    """A choice above a chapter. options: (code, text) pairs; a row carries the code of its own value."""

    column: str
    label: str
    options: Sequence[tuple[int, str]]


@dataclass(frozen=True)
class Word:
    """A column's label and meaning, at the head of its table."""

    label: str
    meaning: str


def render(review: Review, sections: Sequence[Section] | None = None) -> str:
    """The page of a month as HTML text. Sections that the records cannot fill are left out.

    Raises KeyError where a handed table lacks a column that a section shows.
    """
    chapters = chapter_views(sections or all_sections(), review)
    parts = [part for chapter in chapters for part in chapter.parts]
    return _page(
        "review.html",
        review,
        parts,
        front=front_view(review),
        chapters=chapters,
        filters=_filters(chapters, _codes(parts)),
    )


def render_sections(
    review: Review, sections: Sequence[Section], template: str = "sections.html", **content: Any
) -> str:
    """A page of a few sections, one below the other and all open.

    template: sections.html or one that extends it and says other words by `content`.
    """
    known = [section_view(section, review) for section in sections if section.is_shown(review)]
    views = [shown for shown in known if shown.is_filled]
    return _page(template, review, [part for view in views for part in view.parts], sections=views, **content)


def _page(template: str, review: Review, parts: Sequence[PartView], **content: Any) -> str:
    return pages.page(
        template,
        scripts={"script": pages.text("page.js")},
        review=review,
        codes=_codes(parts),
        words={part.name: _words(part, review.units) for part in parts},
        **content,
    )


def _codes(parts: Iterable[PartView]) -> Codes:
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


def _filters(chapters: Sequence[ChapterView], codes: Codes) -> dict[str, list[Filter]]:
    """The choices of each chapter: columns of which its own rows have several values."""
    return {
        chapter.name: [
            Filter(
                column, columns.label(column), [(codes[column][value], formats.plain(value, 40)) for value in values]
            )
            for column, values in _codes(chapter.parts).items()
        ]
        for chapter in chapters
    }


def _words(part: PartView, units: Units) -> list[Word]:
    words = [Word(columns.head(column, units), columns.meaning(column, units)) for column in part.columns]
    return [word for word in words if word.meaning.lower() not in ("", word.label.lower())]
