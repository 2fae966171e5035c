"""One claim's sheet: what the records say of the parcel, what is due, what to ask for, and the texts filled in."""

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from models.claims.deadlines import Deadline, next_due
from models.claims.evidence import ASKED, FROM_BUYER
from models.claims.lessons import Lesson
from models.claims.refunds import Recovery, Way

Row = Mapping[str, Any]
# How long the buyer gets for an answer where no deadline of the carrier is nearer (common practice, no source).
REPLY_DAYS = 3
# Half of 23 kg, the load constant of the lifting equation, in pounds: from there two people or an aid are usual (common
# practice). T. R. Waters, V. Putz-Anderson, A. Garg, "Applications Manual for the Revised NIOSH Lifting Equation", DHHS
# (NIOSH) Publication 94-110, 1994.
AWKWARD_LB = 25.5
KEEP = (
    "the goods with all broken pieces",
    "the carton with its label and tape, not folded or thrown away",
    "all cushioning, as it came out",
)
GLASS = (
    "Goods that break may have sharp edges: wear gloves and eye protection, and do not reach into the carton. "
    "Your own workplace's and local rules come first."
)
KNIVES = "Open a carton that came back with a guarded blade, cutting away from the body. Local rules come first."
HEAVY = "Heavy: lift it with two people or an aid. Your own workplace's rules and your doctor's come first."


@dataclass(frozen=True)
class Sheet:
    """A claim's sheet. parcel, goods, lines, claims: rows as queried; an unknown cell is None. claim: the one shown.

    kept: kind of evidence -> number of files. texts: name -> text, filled in.
    """

    made_on: dt.date
    parcel: Row
    goods: Sequence[Row]
    lines: Sequence[Row]
    claims: Sequence[Row]
    deadlines: Sequence[Deadline]
    kept: Mapping[str, int] = field(default_factory=dict)
    folder: str = ""
    texts: Mapping[str, str] = field(default_factory=dict)
    ways: Sequence[Way] = ()
    recovery: Recovery | None = None
    by_evidence: Sequence[tuple[str, Recovery]] = ()
    lesson: Lesson | None = None
    rules_broken: Sequence[str] = ()

    @property
    def claim(self) -> Row | None:
        """The claim that the sheet is about: of damage or loss before others, the latest first."""
        ranked = sorted(self.claims, key=lambda row: row["claim_cause"] not in ("damage", "loss"))
        return ranked[0] if ranked else None

    @property
    def missing(self) -> list[str]:
        """What carriers ask to see and no file shows."""
        return [kind for kind in ASKED if not self.kept.get(kind)]

    @property
    def to_ask(self) -> list[str]:
        """What the buyer is asked to photograph."""
        return [ASKED[kind] for kind in FROM_BUYER if kind in self.missing]

    @property
    def next_step(self) -> Deadline | None:
        """What is due next of the shop's own steps."""
        return next_due(self.deadlines) if self.claim else None

    @property
    def reply_by(self) -> dt.date:
        """By when the buyer should answer: soon, and before the carrier's next deadline."""
        usual = self.made_on + dt.timedelta(days=REPLY_DAYS)
        due = next_due(self.deadlines)
        return max(min(usual, due.due_on), self.made_on) if due and due.due_on else usual

    @property
    def cautions(self) -> list[str]:
        """What may hurt somebody: broken goods, knives, weight."""
        weight = self.parcel["scale_weight_lb"]
        is_heavy = weight is not None and weight >= AWKWARD_LB
        return [GLASS, KNIVES, *([HEAVY] if is_heavy else [])]

    @property
    def claimable_cents(self) -> int | None:
        """What the records prove that could be claimed: the price of the goods; None where one is unknown."""
        return goods_cents(self.goods, "item_price_cents")


def goods_cents(goods: Sequence[Row], column: str) -> int | None:
    """Pieces times a column, over all lines; None where there is no line or one of them lacks it."""
    if not goods or any(row[column] is None for row in goods):
        return None
    return sum(int(row[column]) * int(row["packed_quantity"]) for row in goods)
