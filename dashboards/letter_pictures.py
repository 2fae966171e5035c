"""Still pictures for a letter: those of the page, each with words for those who see none."""

from dataclasses import dataclass, replace

from dashboards.panels import Panel, Section
from dashboards.pictures import Kind, Picture
from dashboards.pictures.png import LETTER, png
from dashboards.review_tables import Review
from dashboards.sections import damage, damage_corrected, front, goods
from dashboards.views import picture

# What a reader on the way looks at first: where the month's money went, which goods lost it, what breaks.
DRAWN = (
    (front.SECTION, "waterfall"),
    (goods.ITEM_TYPES, "item-type-margins"),
    (damage.SECTION, "damage-methods"),
    (damage_corrected.SECTION, "damage-rates"),
)


@dataclass(frozen=True)
class Still:
    """A picture: its name, what stands over it, what it shows in words, its PNG, and how wide it is shown."""

    name: str
    title: str
    alt: str
    png: bytes
    width: int = int(LETTER)


def stills(review: Review) -> list[Still]:
    """The letter's pictures of which the review's tables have anything to show."""
    pictures = (_picture(section, name, review) for section, name in DRAWN)
    return [_still(_first_series(replace(each, elsewhere="on the page"))) for each in pictures if each]


def _still(drawn: Picture) -> Still:
    return Still(drawn.name, drawn.title, drawn.alt, png(drawn))


def _first_series(drawn: Picture) -> Picture:
    """Points without what the page sets beside them: only its notes explain those marks."""
    if drawn.kind is not Kind.POINTS:
        return drawn
    return replace(drawn, marks=tuple(drawn.marks_of(0)), series=drawn.series[:1])


def _picture(section: Section, name: str, review: Review) -> Picture | None:
    panels = [part for part in section.parts if isinstance(part, Panel) and part.name == name]
    is_replaced = section.replaced_by and review.has(section.replaced_by)
    if is_replaced or not panels or not review.has(panels[0].table):
        return None
    return picture(panels[0], review)
