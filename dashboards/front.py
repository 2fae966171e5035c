"""The page's first screen: a month in one minute, from the panels of sections/front.py."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import pandas as pd

from dashboards import sentences
from dashboards.review_tables import Cell, Review, Sentence
from dashboards.sections import front
from dashboards.sections.actions import TABLE as ACTIONS
from dashboards.sentences import words
from dashboards.sentences.causes import CAUSES
from dashboards.sentences.grounds import made_on
from dashboards.template_parts import Line, PartView, Shown
from dashboards.views import DEADLINES, rounded, spoken, view

HEADINGS = words(
    "front.lost_expected front.made_expected front.lost_with_sales front.made_with_sales front.lost front.made "
    "front.lost_so_far front.made_so_far front.unpriced"
)
WHY = words("cause.near_side cause.near_weight cause.damage cause.billing_errors cause.item_type cause.service")
# Where the page says more of a cause or an action of a kind.
CHAPTER_OF = {
    **{"near miss": "carriers", "damage": "damage", "billing errors": "carriers", "item type": "money"},
    **{"service": "money", "dispute": "carriers", "claim": "damage", "carton": "cartons", "cut": "cartons"},
    **{"sizes": "cartons", "packing": "damage", "trial": "damage", "choice": "damage", "charge": "money"},
    "other service": "carriers",
}
DUE_SHOWN = 4
# Orders stand behind deadlines and never count as overdue: the records do not say whether one went out since.
ORDERED_IN = "cartons"
DUE_CHAPTERS = {"disputes-due": "carriers", "claims-due": "damage", "orders-due": ORDERED_IN}
DUE_KINDS = {"carriers": "dispute,", "damage": "claim", ORDERED_IN: "order"}


@dataclass(frozen=True)
class Cause:
    """A cause in words, its money, and the chapter that proves it."""

    words: Sequence[str | Shown]
    cost: Shown
    chapter: str


@dataclass(frozen=True)
class Card:
    """An action: its cells by column, and the chapter that says more of it."""

    cells: dict[str, Shown]
    chapter: str

    @property
    def worth(self) -> tuple[Shown | None, str]:
        """What it is expected to bring, and how often: each month where it does, else once."""
        monthly, once = (self.cells.get(name) for name in ("expected_month_cents", "expected_once_cents"))
        return (monthly, "a month") if monthly and not monthly.is_nothing else (once, "once" if once else "")

    @property
    def due_on(self) -> Shown | None:
        """Its first deadline, where it has one."""
        day = self.cells.get("due_on")
        return day if day and not day.is_unknown else None


@dataclass(frozen=True)
class Due:
    """Something that must go out by a day: what, its amount where known, and the day as written and as it is.

    step: what a claim waits for; None of a dispute.
    """

    by: Shown
    what: Shown
    amount: Shown | None
    day: pd.Timestamp
    is_overdue: bool
    chapter: str
    step: Shown | None = None

    @property
    def kind(self) -> str:
        """What stands before its name."""
        return DUE_KINDS[self.chapter]


@dataclass(frozen=True)
class Front:
    """The first screen. months: the month and those it is compared with, as rows of one table."""

    heading: Sequence[str | Shown]
    lead: Sequence[str | Shown]
    months: Sequence[Line]
    parts: dict[str, PartView]
    causes: Sequence[Cause]
    cards: Sequence[Card]
    more_actions: int
    due: Sequence[Due]
    more_due: int


def front_view(review: Review) -> Front:
    """The first screen from the review's tables; what they do not hold is empty."""
    parts = {part.name: view(part, review) for part in front.SECTION.parts if review.has(part.table)}
    due = sorted(
        (each for name in DUE_CHAPTERS for each in _due(name, parts, review)),
        key=lambda each: (each.chapter == ORDERED_IN, each.day),
    )
    cards = [_card(line, parts["first-actions"], review) for line in _lines("first-actions", parts)]
    return Front(
        heading=next((spoken(heading, review) for heading in sentences.each_stated(HEADINGS, review)), ()),
        lead=spoken(sentences.tell(front.SECTION.lead, review), review),
        months=[*_lines("completed-month", parts), *_lines("compared-months", parts)],
        parts={name: parts[name] for name in ("waterfall", "margin-line") if _lines(name, parts)},
        causes=_causes(review, parts),
        cards=cards,
        more_actions=len(review.table(ACTIONS)) - len(cards),
        due=due[:DUE_SHOWN],
        more_due=max(0, len(due) - DUE_SHOWN),
    )


def _lines(name: str, parts: dict[str, PartView]) -> Sequence[Line]:
    return parts[name].lines if name in parts else ()


def _in_prose(each: Shown, review: Review) -> Shown:
    if each.column in DEADLINES:
        return each  # it may say that the day has passed
    return rounded(Cell(each.table, each.row, each.column, review.table(each.table)[each.column].loc[each.row]), review)


def _causes(review: Review, parts: dict[str, PartView]) -> list[Cause]:
    """The causes that are stated, in the order of their places; a cause has at least one cell of its own row."""
    stated = {_row(sentence): sentence for sentence in sentences.each_stated(WHY, review)}
    rows = review.table(CAUSES)
    return [
        Cause(
            spoken(stated[line.row], review),
            rounded(Cell(CAUSES, line.row, "cause_cents", rows["cause_cents"].loc[line.row]), review),
            CHAPTER_OF[str(rows["cause_kind"].loc[line.row])],
        )
        for line in _lines("causes", parts)
        if line.row is not None and line.row in stated
    ]


def _row(sentence: Sentence) -> int:
    return next(part.row for part in sentence if isinstance(part, Cell))


def _card(line: Line, part: PartView, review: Review) -> Card:
    cells = {name: _in_prose(each, review) for name, each in zip(part.columns, line.cells, strict=True)}
    return Card(cells, CHAPTER_OF.get(cells["action_kind"].text, "money"))


def _due(name: str, parts: dict[str, PartView], review: Review) -> list[Due]:
    today = made_on(review)
    chapter = DUE_CHAPTERS[name]
    found = []
    for line in _lines(name, parts):
        cells = dict(zip(parts[name].columns, (_in_prose(each, review) for each in line.cells), strict=True))
        by, what, amount, step = _of_kinds(cells)
        day = pd.Timestamp(review.table(by.table)[by.column].loc[by.row])
        is_overdue = chapter != ORDERED_IN and today is not None and day < today
        found.append(Due(by, what, amount, day, is_overdue, chapter, step))
    return found


def _of_kinds(cells: Mapping[str, Shown]) -> tuple[Shown, Shown, Shown | None, Shown | None]:
    """Day, name, amount and step; a column that says nothing of any row is not shown."""
    by = cells.get("last_dispute_on") or cells.get("step_due_on") or cells["order_by_on"]
    what = cells.get("difference_class") or cells.get("claim_id") or cells["carton_code"]
    amount = cells.get("outstanding_cents") or cells.get("open_cents") or cells.get("order_cents")
    return by, what, amount, cells.get("claim_step")
