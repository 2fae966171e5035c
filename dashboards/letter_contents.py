"""What a letter says of a month: the page's first screen, as much as one screen of text holds.

Text and HTML are both written from this, so that neither says more than the other. What it leaves out stands on the
page and in the workbook.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import pandas as pd

from dashboards import formats, sentences
from dashboards.due_words import INVOICES
from dashboards.edition_words import edition_words
from dashboards.front import Card, Cause, Due, Front, front_view
from dashboards.review_tables import Records, Review
from dashboards.sentences import open_months
from dashboards.sentences.letters import MORE_ACTIONS, MORE_DUE, MORE_INVOICES
from dashboards.template_parts import Line, Shown

# Of what a shop's invoices lack the letter names the first; the page has all of it.
INVOICES_NAMED = 1
NOTHING_TO_DO = ("actions.none", "actions.none_so_far")
MONTH_HEADS = ("", "Margin", "Per parcel")


@dataclass(frozen=True)
class Point:
    """An amount, empty where none is known, and what it is for."""

    worth: str
    words: str


@dataclass(frozen=True)
class Block:
    """A titled part of the letter: its points, then sentences."""

    title: str
    points: Sequence[Point]
    rest: Sequence[str] = ()


@dataclass(frozen=True)
class Content:
    """All that a letter says. subject and heading: one line each, with the month. months: rows under MONTH_HEADS."""

    subject: str
    heading: str
    paragraphs: Sequence[str]
    months: Sequence[Sequence[str]]
    blocks: Sequence[Block]


def content(review: Review, edition: int, changes: pd.DataFrame) -> Content:
    """The letter on a month. changes: measure, amount_before, amount_after, for an edition after the first."""
    first = front_view(review)
    again = edition_words(edition, changes, review.units) if edition > 1 else ""
    blocks = (_cost_most(first), _to_do(first, review), _due(first, review))
    return Content(
        subject=_subject(review, edition),
        heading=_text(first.heading) or f"Shipping in {formats.month(review.month)}",
        paragraphs=[line for line in (again, _text(first.lead)) if line],
        months=[_month(line) for line in first.months],
        blocks=[block for block in blocks if block.points or block.rest],
    )


def _subject(review: Review, edition: int) -> str:
    name = formats.plain(review.shop_name, 60)
    is_open = open_months.is_open(review)
    month = open_months.completed(review) if is_open else review.month_rows("marts.shipping_margin")
    result = ""
    if len(month):
        row = month.iloc[0]
        margin = formats.money(row["completed_margin_cents" if is_open else "margin_cents"], review.currency)
        parcels = f"on {formats.count(row['parcel_count'])} parcels{_without_bill(review)}"
        result = f", {margin} {'expected' if is_open else parcels}"
    again = f" (edition {edition})" if edition > 1 else ""
    return f"{name}: shipping in {formats.month(review.month)}{result}{again}"


def _without_bill(review: Review) -> str:
    """How many of the month's parcels have no bill, where nobody knows what too many of them cost."""
    counts = open_months.unpriced(review)["unbilled_count"]
    return "".join(f", {formats.count(count)} of them without a bill" for count in counts)


def _text(parts: Sequence[str | Shown]) -> str:
    """Parts of sentences on one line."""
    return " ".join("".join(part if isinstance(part, str) else part.text for part in parts).split())


def _begun(text: str) -> str:
    """The text as it begins a line: its first letter large."""
    return text[:1].upper() + text[1:]


def _month(line: Line) -> list[str]:
    cells = [cell.text for cell in line.cells]
    return [_begun(cells[0]), *cells[1:], *[""] * (len(MONTH_HEADS) - len(cells))]


def _cost_most(first: Front) -> Block:
    return Block("What cost most", [_cause(cause) for cause in first.causes[:1]])


def _cause(cause: Cause) -> Point:
    return Point(cause.cost.text, _begun(_text(cause.words)))


def _to_do(first: Front, review: Review) -> Block:
    left = _counted(MORE_ACTIONS, "letter.more_actions", first.more_actions, review)
    nothing = [] if first.cards else sentences.lines(NOTHING_TO_DO, review, review.units)
    return Block("Do this month", [_card(card) for card in first.cards], [*nothing, *left])


def _card(card: Card) -> Point:
    amount, each = card.worth
    by = f", by {card.due_on.text}" if card.due_on else ""
    said = f"{_begun(card.cells['action_words'].text)}; {card.cells['confidence_words'].text}{by}"
    return Point(f"{amount.text} {each}" if amount else "", said)


def _due(first: Front, review: Review) -> Block:
    invoices = sentences.lines(INVOICES, review, review.units)
    more = _counted(MORE_INVOICES, "letter.more_invoices", len(invoices) - INVOICES_NAMED, review)
    deadlines = _counted(MORE_DUE, "letter.more_due", first.more_due, review)
    return Block("Due", [_deadline(due) for due in first.due], [*deadlines, *invoices[:INVOICES_NAMED], *more])


def _deadline(due: Due) -> Point:
    overdue = " (overdue)" if due.is_overdue else ""
    step = f", {due.step.text}" if due.step else ""
    return Point(due.amount.text if due.amount else "", f"{due.by.text}{overdue}: {due.kind} {due.what.text}{step}")


def _counted(table: str, id: str, left: int, review: Review) -> list[str]:
    """A line on how many more there are; none where there are none."""
    rows = pd.DataFrame({"row_count": [left] if left > 0 else []})
    return sentences.lines((id,), Records(tables={table: rows}), review.units)
