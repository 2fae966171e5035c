"""An action: what to do, what it is worth, how sure that is, and where to look."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from models.fields import LONGEST_TEXT

CARRIAGE, PACKING, INCOME = "carriage", "packing", "income"
KINDS = ("dispute", "claim", "carton", "cut", "near miss", "sizes", "packing", "trial", "choice", "charge")
# What hangs on buyers, on what a trial finds, or on what the shop thinks of breakage: no sum may hold it.
APART = ("trial", "choice", "charge")
# Lower end of each word's span.
CONFIDENCES = ((0.9, "nearly sure"), (0.7, "likely"), (0.5, "even or better"), (0.0, "uncertain"))

Unit = tuple[str, str]


@dataclass(frozen=True)
class Action:
    """words: one sentence without its money. confidence: chance that it brings what it says, 0 to 1.

    month_cents: what it would save each month if done alone, by unit: item type and pot (CARRIAGE, PACKING, INCOME).
    month_limits: between which that lies, 95 percent, where its source says. once_cents: what it would bring once.
    parcel_count: parcels a month, or those concerned where it is done once.
    plan: actions of one plan concern different parcels, so that their savings add up; other plans are alternatives.
    other_way: what would bring the same money and cannot be done as well; other_month_cents: what that would, by its
    chance.
    evidence: table and rows it rests on. go_on_with: the command, or the part of the page, that leads on.
    """

    action_kind: str
    words: str
    confidence: float
    parcel_count: int
    evidence: str
    go_on_with: str
    month_cents: Mapping[Unit, int] = field(default_factory=dict)
    month_limits: tuple[int, int] | None = None
    once_cents: int = 0
    due_on: dt.date | None = None
    plan: str = ""
    other_way: str = ""
    other_month_cents: int = 0

    @property
    def is_in_sum(self) -> bool:
        """Whether it counts in the sum of all."""
        return self.action_kind not in APART

    @property
    def expected_cents(self) -> int:
        """Saving a month if done alone, times its chance."""
        return round(self.confidence * self.alone_cents)

    @property
    def alone_cents(self) -> int:
        """Saving a month if done alone."""
        return sum(self.month_cents.values())


def confidence_words(confidence: float) -> str:
    """The word for a chance."""
    return next(words for least, words in CONFIDENCES if confidence >= least)


def one_line(text: str) -> str:
    """The text, cut to what a cell may hold."""
    return text if len(text) <= LONGEST_TEXT else f"{text[: LONGEST_TEXT - 1]}…"


def listed(names: Sequence[str], most: int = 4) -> str:
    """`a, b and c`, or `a, b, c, d and 3 more`."""
    shown = [*names[:most], f"{len(names) - most} more"] if len(names) > most else list(names)
    return " and ".join(part for part in (", ".join(shown[:-1]), *shown[-1:]) if part)


def counted(count: int, singular: str) -> str:
    """`1 claim`, `4 claims`."""
    return f"{count} {singular}{'' if count == 1 else 's'}"
