"""The page's chapters: each opens with its finding, one or two pictures and the top rows; its sections stand folded."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

from dashboards import sentences
from dashboards.panels import Section
from dashboards.review_tables import Review
from dashboards.template_parts import PartView, SectionView, Shown
from dashboards.views import section_view, spoken

MOST_OPEN = 2


@dataclass(frozen=True)
class Chapter:
    """findings: ids of sentences, the first that the records prove is the heading, else the title is.

    opens: parts that may stand open, the first MOST_OPEN that have rows do. stays: sections that are never folded.
    """

    name: str
    title: str
    findings: Sequence[str]
    opens: Sequence[str] = ()
    stays: Sequence[str] = ()


CHAPTERS = (
    Chapter(
        name="money",
        title="Money",
        findings=("chapter.item_type_lost_most", "chapter.every_item_type_paid"),
        opens=("item-type-margins", "margin-band", "months"),
    ),
    Chapter(
        name="carriers",
        title="Carriers",
        findings=("chapter.near_side", "chapter.near_weight", "chapter.surcharges", "chapter.surcharges_taxed"),
        opens=("near-miss-savings", "surcharge-amounts"),
    ),
    Chapter(
        name="damage",
        title="Damage",
        findings=("chapter.damage_highest", "chapter.damage_highest_item", "chapter.damage_claims"),
        opens=("damage-rates", "damage-verdicts", "damage-methods", "damage-items"),
    ),
    Chapter(
        name="cartons",
        title="Cartons",
        findings=(
            *("chapter.cartons_saving", "chapter.cartons_no_saving"),
            *("chapter.cartons_unpriced", "chapter.cartons_not_judged"),
        ),
        opens=("best-cartons", "carton-ladder"),
    ),
    Chapter(
        name="records",
        title="Records and method",
        findings=("chapter.billed", "chapter.unsent"),
        opens=("coverage",),
        stays=("missing",),
    ),
)


@dataclass(frozen=True)
class ChapterView:
    """A chapter as shown. opening: parts that stand open; sections: the others, folded but for those of `stays`."""

    name: str
    title: str
    finding: Sequence[str | Shown]
    opening: Sequence[PartView]
    sections: Sequence[SectionView]
    stays: Sequence[str] = field(default=())

    @property
    def parts(self) -> list[PartView]:
        """All parts, open and folded."""
        return [*self.opening, *(part for section in self.sections for part in section.parts)]


def chapter_views(sections: Sequence[Section], review: Review) -> list[ChapterView]:
    """The chapters that have anything to show."""
    views = [chapter_view(chapter, sections, review) for chapter in CHAPTERS]
    return [view for view in views if view.sections or view.opening]


def chapter_view(chapter: Chapter, sections: Sequence[Section], review: Review) -> ChapterView:
    """The chapter from those of the sections that are its own and have anything to show."""
    own = [section for section in sections if section.chapter == chapter.name and section.is_shown(review)]
    views = [view for section in own if (view := section_view(section, review)).is_filled]
    found = {part.name: part for view in views for part in view.parts}
    opening = [found[name] for name in chapter.opens if name in found][:MOST_OPEN]
    rest = [without(view, {part.name for part in opening}) for view in views]
    return ChapterView(
        name=chapter.name,
        title=chapter.title,
        finding=next(_findings(chapter, review), ()),
        opening=opening,
        sections=[view for view in rest if view.is_filled],
        stays=chapter.stays,
    )


def _findings(chapter: Chapter, review: Review) -> Iterator[list[str | Shown]]:
    return (spoken(sentence, review) for sentence in sentences.each_stated(chapter.findings, review))


def without(view: SectionView, names: set[str]) -> SectionView:
    """The section without some of its parts."""
    return replace(view, parts=[part for part in view.parts if part.name not in names])
