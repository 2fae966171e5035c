"""An action: what to do, what it is worth, how sure that is, and where to look."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

CARRIAGE, PACKING, INCOME = "carriage", "packing", "income"
KINDS = (
    *("dispute", "claim", "carton", "cut", "near miss", "sizes", "packing", "other service"),
    *("trial", "choice", "charge"),
)
# What hangs on buyers, on what a trial finds, or on what the shop thinks of breakage: no sum may hold it.
APART = ("trial", "choice", "charge")
# Lower end of each class.
CONFIDENCES = ((0.9, "nearly sure"), (0.7, "likely"), (0.5, "about even"), (0.0, "uncertain"))
# What an action is about: columns of analysis.actions, none of which every kind has.
FACTS = (
    *("carrier", "item_type", "carton_code", "best_carton_code", "cut_low_in", "cut_high_in", "charge_name", "change"),
    *("change_in", "change_lb", "claim_task", "claim_count", "line_count", "named", "size_count", "used_up"),
    *("undated_claim_count", "undated_opened_on"),
    *("current_method", "best_method", "more_damaged_count", "wait_parcels"),
    *("service", "other_carrier", "other_service", "zone_low", "zone_high"),
)
# Parts the names of a list in one cell.
BETWEEN_NAMES = "\x1f"

MONTHS_OF_A_YEAR = 12

Unit = tuple[str, str]
# Item type and carton used of the parcels that an action changes; all cartons where it names none.
Touched = frozenset[tuple[str, str]]


@dataclass(frozen=True)
class Action:
    """facts: what it is about, by FACTS; a surface writes the words. confidence: chance that it brings what it says, 0
    to 1.

    month_cents: what it saves each month, by unit: item type and pot (CARRIAGE, PACKING, INCOME). stocking_cents: what
    it costs each month beside that, below zero where it spares. month_limits: between which its saving lies, 95
    percent, where its source says. is_counted_on: whether its saving is the mean of all that it may be, so that its
    chance is in it. once_cents: what it would bring once. once_cost_cents: what it would cost once.
    parcel_count: parcels a month, or those concerned where it is done once.
    plan: actions of one plan go together: they concern different parcels, or one begins where another ends. replaces:
    the plan that falls where this action is done, which opens its own. is_part: belongs to the row of the action that
    opens its plan. cartons: parcels that it changes; every carton of the item types whose carriage it saves, where it
    does not say.
    joint_cents: what both save a month beyond what each saves alone, by the evidence of another action that may change
    the same parcels; less where it is below zero. Of two that were priced together one says it, for both.
    other_ways: what would change the same parcels and cannot be done as well, the best first; other_month_cents: what
    they would together, by their chances.
    evidence: table and rows it is based on.
    """

    action_kind: str
    facts: Mapping[str, Any]
    confidence: float
    parcel_count: int
    evidence: str
    month_cents: Mapping[Unit, int] = field(default_factory=dict)
    stocking_cents: int = 0
    month_limits: tuple[int, int] | None = None
    is_counted_on: bool = False
    once_cents: int = 0
    once_cost_cents: int = 0
    due_on: dt.date | None = None
    plan: str = ""
    replaces: str = ""
    is_part: bool = False
    cartons: Touched | None = None
    joint_cents: Mapping[str, int] = field(default_factory=dict)
    other_ways: Sequence[Action] = ()
    other_month_cents: int = 0

    @property
    def is_in_sum(self) -> bool:
        """Whether it counts in the sum of all."""
        return self.action_kind not in APART

    @property
    def touched(self) -> Touched:
        """The parcels that it changes, by item type and carton used."""
        if self.cartons is not None:
            return self.cartons
        return frozenset((item, "") for item, pot in self.month_cents if pot == CARRIAGE)

    @property
    def saving_cents(self) -> int:
        """Saving a month, less what it costs each month."""
        return sum(self.month_cents.values()) - self.stocking_cents

    @property
    def share_expected(self) -> float:
        """Share of what it says that is to be expected."""
        return 1.0 if self.is_counted_on else self.confidence

    @property
    def expected_month_cents(self) -> int:
        """Saving a month, times its chance where that is not in it."""
        return round(self.share_expected * self.saving_cents)

    @property
    def worth(self) -> float:
        """What is to be expected of it in a year; what it costs once is certain."""
        return self.share_expected * (MONTHS_OF_A_YEAR * self.saving_cents + self.once_cents) - self.once_cost_cents


def confidence_words(confidence: float) -> str:
    """The class of a chance."""
    return next(words for least, words in CONFIDENCES if confidence >= least)


def listed(names: Sequence[str]) -> str:
    """The names in one cell."""
    return BETWEEN_NAMES.join(names)
