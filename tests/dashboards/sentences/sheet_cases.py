"""Cases of the sentences on a claim's sheet: a sheet that makes each true, and near ones that must suppress it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from models.claims.deadlines import ClaimTerm, deadlines
from models.claims.evidence import ASKED
from models.claims.lessons import BOARD, CUSHIONING, VALUE, Lesson
from models.claims.refunds import Recovery
from models.claims.sheet import Sheet

TODAY = dt.date(2027, 4, 9)
FILING = ClaimTerm("filing", 30, "days", "shipped_on")
NOTICE = ClaimTerm("notice", 7, "days", "shipped_on")


@dataclass(frozen=True)
class SheetCase:
    shows: Sheet
    hides: Sequence[Sheet]
    says: str


def sheet(state: str | None = "reported", terms: Sequence[ClaimTerm] = (), shipped: int = 10, **more: Any) -> Sheet:
    """A parcel shipped so many days ago, with a claim in that state; None for no claim."""
    shipped_on = TODAY - dt.timedelta(days=shipped)
    claim = {"claim_id": "Q1", "claim_cause": "damage", "claim_state": state}
    due = deadlines(terms, {"shipped_on": shipped_on}, TODAY)
    return Sheet(TODAY, {"parcel_id": "K1"}, (), (), [claim] if state else [], due, **more)


def lesson(chance: float | None = 0.5, settled_by: int | None = 1_200, like: int = 50) -> Lesson:
    return Lesson(like, 4, (0.032, 0.188), 0 if chance is None else 1_500, 60, chance, settled_by)


def paid(decided: int, share: float | None = 0.6) -> Recovery:
    return Recovery(decided, decided // 2, 0.25, 0.75, share)


NO_CLAIM, FILE, LATE = sheet(None), sheet(terms=[FILING]), sheet(terms=[FILING], shipped=40)
CASES: dict[str, SheetCase] = {
    "sheet.no_claim": SheetCase(NO_CLAIM, [FILE, sheet("closed")], "No claim is on record"),
    "sheet.settled": SheetCase(sheet("paid"), [NO_CLAIM, FILE, sheet("refused")], "The claim is paid. Nothing is due."),
    "sheet.passed": SheetCase(
        LATE,
        [FILE, sheet("closed", [FILING], 40), sheet(None, [FILING], 40), sheet(terms=[])],
        "The deadline to file the claim has passed.",
    ),
    "sheet.next": SheetCase(
        FILE, [LATE, sheet(None, [FILING]), sheet("paid", [FILING])], "File the claim by 29 Apr 2027 (20 days left)."
    ),
    "sheet.waits": SheetCase(sheet("asked"), [sheet("reported"), sheet("paid"), NO_CLAIM], "waits for the carrier's"),
    "sheet.no_deadline": SheetCase(sheet(), [FILE, LATE, sheet("filed"), NO_CLAIM], "No deadline is known"),
    "sheet.ask_carrier": SheetCase(LATE, [FILE, sheet(), sheet("closed", [FILING], 40)], "whether it still takes it"),
    "sheet.asked_of_all": SheetCase(sheet(), [sheet(kept=dict.fromkeys(ASKED, 1))], "common practice"),
    "sheet.folder": SheetCase(sheet(folder="evidence/K1"), [sheet()], "Put pictures into evidence/K1,"),
    "sheet.not_paid_for": SheetCase(sheet(), [sheet(recovery=paid(0, None))], "damage and loss alone"),
    "sheet.none_decided": SheetCase(
        sheet(recovery=paid(0, None)), [sheet(), sheet(recovery=paid(4))], "what it will pay is not known"
    ),
    "sheet.recovery": SheetCase(
        sheet(recovery=paid(40)),
        [sheet(), sheet(recovery=paid(0, None))],
        "Of 40 decided claims of this cause with this carrier it paid 20 (95% interval of the chance 25% to 75%), and "
        "60% of all",
    ),
    "sheet.few_decided": SheetCase(
        sheet(recovery=paid(9)), [sheet(recovery=paid(10)), sheet(recovery=paid(0, None)), sheet()], "These are few"
    ),
    "sheet.like": SheetCase(
        sheet(lesson=lesson()), [sheet(), sheet(lesson=lesson(like=49))], "4 of 50 (95% interval 3.2% to 18.8%)."
    ),
    "sheet.like_few": SheetCase(
        sheet(lesson=lesson(like=49)), [sheet(), sheet(lesson=lesson())], "4 of 49, too few for a share."
    ),
    "sheet.others": SheetCase(
        sheet(lesson=lesson()), [sheet(), sheet(lesson=lesson(None))], "Of others of the item type: 60 of 1,500."
    ),
    "sheet.no_others": SheetCase(sheet(lesson=lesson(None)), [sheet(lesson=lesson()), sheet()], "No other parcel"),
    "sheet.pattern": SheetCase(
        sheet(lesson=lesson(0.049)),
        [sheet(lesson=lesson(0.05)), sheet(lesson=lesson(None)), sheet()],
        "as many or more would be damaged with a chance of 5%: this may be a pattern.",
    ),
    "sheet.no_pattern": SheetCase(
        sheet(lesson=lesson(0.05)),
        [sheet(lesson=lesson(0.049)), sheet(lesson=lesson(None)), sheet()],
        "no proof of a pattern",
    ),
    "sheet.settled_by": SheetCase(
        sheet(lesson=lesson()),
        [sheet(lesson=lesson(settled_by=None)), sheet()],
        "about 1,200 parcels of each kind would tell them apart in four of five cases",
    ),
    "sheet.cushioning": SheetCase(
        sheet(rules_broken=[CUSHIONING]), [sheet(rules_broken=[BOARD, VALUE]), sheet()], "5 cm (2 in) of cushioning"
    ),
    "sheet.board": SheetCase(
        sheet(rules_broken=[BOARD]),
        [sheet(rules_broken=[CUSHIONING, VALUE]), sheet()],
        "(common practice, no source): parcels above 18 kg",
    ),
    "sheet.value": SheetCase(
        sheet(rules_broken=[VALUE]), [sheet(rules_broken=[BOARD, CUSHIONING]), sheet()], "that an invoice proves"
    ),
}
