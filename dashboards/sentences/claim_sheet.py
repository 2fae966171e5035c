"""The sentences of a claim's sheet, by their ids: each with its text and the facts of the sheet that make it true.

A sheet is one parcel and no table, and its command answers within a second: nothing here loads a library.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from string import Formatter

from dashboards import values
from models.claims.deadlines import OVERDUE, Deadline
from models.claims.lessons import BOARD, CUSHIONING, VALUE
from models.claims.refunds import Recovery
from models.claims.sheet import Sheet

STEPS = {
    "notice": "tell the carrier",
    "filing": "file the claim",
    "evidence": "send the evidence",
    "answer": "the carrier answers",
    "appeal": "appeal the decision",
}
SETTLED = ("paid", "closed", "withdrawn")
WITH_CARRIER = ("filed", "asked", "appealed")
RULE = "Rule of thumb (common practice, no source)"
ALIKE = "Damaged of parcels with the same item type, packing method, carton and carrier: {damaged} of {like}"
Facts = Mapping[str, str]


@dataclass(frozen=True)
class SheetEntry:
    """A sentence. is_true: whether the sheet proves it. No sheet does whose facts lack what a mark stands for."""

    id: str
    text: str
    is_true: Callable[[Sheet], bool] = lambda sheet: True

    def stated(self, sheet: Sheet, facts: Facts) -> Iterator[str]:
        """The sentence, where the sheet proves it."""
        marks = {name for _, name, _, _ in Formatter().parse(self.text) if name}
        if marks <= set(facts) and self.is_true(sheet):
            yield self.text.format(**facts)


def stated(ids: Iterable[str], sheet: Sheet) -> list[str]:
    """The sentences that the sheet proves, in the order of the ids. KeyError for an unknown id."""
    facts = _facts(sheet)
    return [line for id in ids for line in entries()[id].stated(sheet, facts)]


@cache
def entries() -> dict[str, SheetEntry]:
    """Every entry by its id."""
    return {entry.id: entry for entry in ENTRIES}


def days(number: int) -> str:
    """So many days, in agreement."""
    return f"{number} day{'' if number == 1 else 's'}"


def left(deadline: Deadline) -> str:
    """How long until a deadline to come."""
    return f"{days(deadline.days_left)} left" if deadline.days_left else "today"


def _state(sheet: Sheet) -> str:
    return str(sheet.claim["claim_state"]) if sheet.claim else ""


def _is_open(sheet: Sheet) -> bool:
    return sheet.claim is not None and _state(sheet) not in SETTLED


def _late(sheet: Sheet) -> list[str]:
    """What is overdue of the shop's own steps, while the claim is open."""
    overdue = (each.step for each in sheet.deadlines if each.state == OVERDUE and each.step != "answer")
    return [STEPS[step] for step in overdue] if _is_open(sheet) else []


def _facts(sheet: Sheet) -> Facts:
    """What the sheet knows, by the marks of the sentences."""
    late, due, found, lesson = _late(sheet), sheet.next_step, _decided(sheet), sheet.lesson
    facts: dict[str, str | None] = {"state": _state(sheet) or None, "folder": sheet.folder or None}
    if late:
        is_one = len(late) == 1
        deadline, have = ("deadline", "has") if is_one else ("deadlines", "have")
        facts |= {"steps": " and to ".join(late), "deadline": deadline, "have": have}
    if _is_open(sheet) and due and due.due_on:
        facts |= {"step": STEPS[due.step].capitalize(), "day": values.day(due.due_on), "left": left(due)}
    if found:
        facts |= {"decided": str(found.decided), "paid": str(found.paid), "share": f"{found.share:.0%}"}
        facts |= {"paid_low": f"{found.low:.0%}", "paid_high": f"{found.high:.0%}"}
    if lesson:
        low, high = (f"{limit:.1%}" for limit in lesson.like_interval)
        facts |= {"damaged": str(lesson.like_damaged), "like": values.count(lesson.like), "low": low, "high": high}
        facts |= {"other_damaged": str(lesson.other_damaged), "other": values.count(lesson.other)}
        facts["chance"] = None if lesson.chance is None else f"{lesson.chance:.0%}"
        facts["count"] = values.about(lesson.settled_by) if lesson.settled_by else None
    return {name: text for name, text in facts.items() if text is not None}


def _nothing_due(sheet: Sheet) -> bool:
    return _is_open(sheet) and not (sheet.next_step and sheet.next_step.due_on)


def _without_day(sheet: Sheet) -> bool:
    return _nothing_due(sheet) and _state(sheet) not in WITH_CARRIER


def _decided(sheet: Sheet) -> Recovery | None:
    return sheet.recovery if sheet.recovery and sheet.recovery.share is not None else None


def _are_few(sheet: Sheet) -> bool:
    return sheet.lesson is not None and sheet.lesson.like < values.FEWEST


def _is_pattern(sheet: Sheet) -> bool:
    return sheet.lesson is not None and sheet.lesson.is_pattern


CHANCE = "If these were no worse than the others, as many or more would be damaged with a chance of {chance}"
ENTRIES = (
    SheetEntry(
        "sheet.no_claim",
        "No claim is on record for this parcel. Open one with --cause damage (or loss, delay, return), with "
        "--opened, the day the buyer reported it, and --delivered, the day of delivery.",
        lambda sheet: sheet.claim is None,
    ),
    SheetEntry("sheet.settled", "The claim is {state}. Nothing is due.", lambda sheet: _state(sheet) in SETTLED),
    SheetEntry("sheet.passed", "The {deadline} to {steps} {have} passed."),
    SheetEntry("sheet.next", "{step} by {day} ({left})."),
    SheetEntry(
        "sheet.waits",
        "The claim waits for the carrier's answer.",
        lambda sheet: _nothing_due(sheet) and _state(sheet) in WITH_CARRIER,
    ),
    SheetEntry(
        "sheet.no_deadline",
        "No deadline is known for the next step.",
        lambda sheet: _without_day(sheet) and not _late(sheet),
    ),
    SheetEntry(
        "sheet.ask_carrier",
        "Ask the carrier whether it still takes it.",
        lambda sheet: _without_day(sheet) and bool(_late(sheet)),
    ),
    SheetEntry(
        "sheet.asked_of_all",
        "What carriers ask to see is common practice, without a source; yours may ask for more.",
        lambda sheet: bool(sheet.missing),
    ),
    SheetEntry("sheet.folder", "Put pictures into {folder}, then run the command with --attach."),
    SheetEntry(
        "sheet.not_paid_for", "The carrier pays for damage and loss alone.", lambda sheet: sheet.recovery is None
    ),
    SheetEntry(
        "sheet.none_decided",
        "No claim of this cause with this carrier was decided yet: what it will pay is not known.",
        lambda sheet: sheet.recovery is not None and _decided(sheet) is None,
    ),
    SheetEntry(
        "sheet.recovery",
        "Of {decided} decided claims of this cause with this carrier it paid {paid} (95% interval of the chance "
        "{paid_low} to {paid_high}), and {share} of all that was claimed. No payment is taken off the costs above.",
    ),
    SheetEntry(
        "sheet.few_decided",
        "These are few: the chance may change with the next decision.",
        lambda sheet: (found := _decided(sheet)) is not None and found.is_few,
    ),
    SheetEntry("sheet.like", f"{ALIKE} (95% interval {{low}} to {{high}}).", lambda sheet: not _are_few(sheet)),
    SheetEntry("sheet.like_few", f"{ALIKE}, too few for a share.", _are_few),
    SheetEntry(
        "sheet.others",
        "Of others of the item type: {other_damaged} of {other}.",
        lambda sheet: sheet.lesson is not None and sheet.lesson.other > 0,
    ),
    SheetEntry(
        "sheet.no_others",
        "No other parcel of the item type is on record to compare with.",
        lambda sheet: sheet.lesson is not None and sheet.lesson.chance is None,
    ),
    SheetEntry("sheet.pattern", f"{CHANCE}: this may be a pattern.", _is_pattern),
    SheetEntry("sheet.no_pattern", f"{CHANCE}: this is no proof of a pattern.", lambda sheet: not _is_pattern(sheet)),
    SheetEntry(
        "sheet.settled_by",
        "If the shares stay as they are, about {count} parcels of each kind would tell them apart in four of five "
        "cases.",
    ),
    SheetEntry(
        "sheet.cushioning",
        f"{RULE}: fragile goods have 5 cm (2 in) of cushioning on every side.",
        lambda sheet: CUSHIONING in sheet.rules_broken,
    ),
    SheetEntry(
        "sheet.board",
        f"{RULE}: parcels above 18 kg (40 lb) go in double-wall board.",
        lambda sheet: BOARD in sheet.rules_broken,
    ),
    SheetEntry(
        "sheet.value",
        f"{RULE}: of fragile goods the value is declared that an invoice proves.",
        lambda sheet: VALUE in sheet.rules_broken,
    ),
)
