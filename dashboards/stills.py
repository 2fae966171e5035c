"""Still pictures for a letter: those of the page, each with words for those who see none."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from dashboards.parts import Panel, Review
from dashboards.pictures import Picture
from dashboards.pictures.png import png
from dashboards.sections import damage, damage_corrected, item_types, trend
from dashboards.views import picture

# What a reader on the way looks at first: the course of the margin, what goods cost to ship, what breaks.
DRAWN: tuple[tuple[Any, str], ...] = (
    (trend, "months"),
    (item_types, "item-type-costs"),
    (damage, "damage-methods"),
    (damage_corrected, "damage-rates"),
)


@dataclass(frozen=True)
class Still:
    """A picture: its name, what stands over it, what it shows in words, and its PNG."""

    name: str
    title: str
    alt: str
    png: bytes


def stills(review: Review) -> list[Still]:
    """The letter's pictures of which the review's tables have anything to show."""
    pictures = (_picture(module.SECTION, name, review) for module, name in DRAWN)
    return [Still(each.name, each.title, each.alt, png(each)) for each in pictures if each]


def _picture(section: Any, name: str, review: Review) -> Picture | None:
    panels = [part for part in section.parts if isinstance(part, Panel) and part.name == name]
    is_replaced = section.replaced_by and review.has(section.replaced_by)
    if is_replaced or not panels or not review.has(panels[0].table):
        return None
    return picture(panels[0], review)
