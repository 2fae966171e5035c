"""The review page of one month: one self-contained HTML file, drawn from tables.

It asks for nothing over the network, and its content policy forbids it to: scripts run only if their digest is named.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from dashboards import pages
from dashboards.chapters import ChapterView, chapter_views
from dashboards.front import front_view
from dashboards.panels import Section
from dashboards.pictures.svg_writer import Codes
from dashboards.review_tables import Review
from dashboards.sections import all_sections
from dashboards.template_parts import Filter, PartView, codes_of, filter_of
from dashboards.views import FILTERS, section_view
from models import columns
from models.shop_units import Units

__all__ = ["Review", "render", "render_sections"]


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
    codes = _codes(parts)
    filters = {chapter.name: _filters(chapter, codes) for chapter in chapters}
    return _page("review.html", review, parts, codes, front=front_view(review), chapters=chapters, filters=filters)


def render_sections(
    review: Review, sections: Sequence[Section], template: str = "sections.html", **content: Any
) -> str:
    """A page of a few sections, one below the other and all open.

    template: sections.html or one that extends it and says other words by `content`.
    """
    known = [section_view(section, review) for section in sections if section.is_shown(review)]
    views = [shown for shown in known if shown.is_filled]
    parts = [part for view in views for part in view.parts]
    return _page(template, review, parts, _codes(parts), sections=views, **content)


def _page(template: str, review: Review, parts: Sequence[PartView], codes: Codes, **content: Any) -> str:
    return pages.page(
        template,
        scripts={"script": pages.text("page.js")},
        review=review,
        codes=codes,
        words={part.name: _words(part, review.units) for part in parts},
        **content,
    )


def _codes(parts: Iterable[PartView]) -> Codes:
    return codes_of((line.sorted_by for part in parts for line in part.lines), FILTERS)


def _filters(chapter: ChapterView, codes: Codes) -> list[Filter]:
    """The choices of a chapter: columns of which its own rows have several values."""
    return [filter_of(column, values, codes) for column, values in _codes(chapter.parts).items()]


def _words(part: PartView, units: Units) -> list[Word]:
    words = [Word(columns.head(column, units), columns.meaning(column, units)) for column in part.columns]
    return [word for word in words if word.meaning.lower() not in ("", word.label.lower())]
