"""The sentences of a claim's sheet, by their ids: each with its text and the facts of the sheet that make it true.

A sheet is one parcel and no table, and its command answers within a second: nothing here loads a library.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache

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
THUMB_RULES = {
    CUSHIONING: "fragile goods have 5 cm (2 in) of cushioning on every side",
    BOARD: "parcels above 18 kg (40 lb) go in double-wall board",
    VALUE: "of fragile goods the value is declared that an invoice proves",
}
ALIKE = "Damaged of parcels with the same item type, packing method, carton and carrier: {damaged} of {like}"
Facts = Iterable[Mapping[str, str | None]]


@dataclass(frozen=True)
class SheetEntry:
    """A sentence. facts: what its marks stand for, once for each telling; none where the sheet does not prove it."""

    id: str
    text: str
    facts: Callable[[Sheet], Facts]

    def stated(self, sheet: Sheet) -> Iterator[str]:
        """The sentence as often as the sheet proves it; one with an unknown fact is left out."""
        for known in self.facts(sheet):
            if None not in known.values():
                yield self.text.format(**known)


def stated(ids: Iterable[str], sheet: Sheet) -> list[str]:
    """The sentences that the sheet proves, in the order of the ids. KeyError for an unknown id."""
    return [line for id in ids for line in entries()[id].stated(sheet)]


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


def _if(condition: bool, **facts: str | None) -> Facts:
    return [facts] if condition else []


def _late(sheet: Sheet) -> list[str]:
    """What is overdue of the shop's own steps, while the claim is open."""
    if not sheet.claim or _state(sheet) in SETTLED:
        return []
    return [STEPS[each.step] for each in sheet.deadlines if each.state == OVERDUE and each.step != "answer"]


def _passed(sheet: Sheet) -> Facts:
    late = _late(sheet)
    is_one = len(late) == 1
    deadline, have = ("deadline", "has") if is_one else ("deadlines", "have")
    return _if(bool(late), steps=" and to ".join(late), deadline=deadline, have=have)


def _is_open(sheet: Sheet) -> bool:
    return sheet.claim is not None and _state(sheet) not in SETTLED


def _next(sheet: Sheet) -> Facts:
    due = sheet.next_step
    if not _is_open(sheet) or due is None or due.due_on is None:
        return []
    return [{"step": STEPS[due.step].capitalize(), "day": values.day(due.due_on), "left": left(due)}]


def _nothing_due(sheet: Sheet) -> bool:
    return _is_open(sheet) and not list(_next(sheet))


def _without_day(sheet: Sheet) -> bool:
    return _nothing_due(sheet) and _state(sheet) not in WITH_CARRIER


def _decided(sheet: Sheet) -> Recovery | None:
    return sheet.recovery if sheet.recovery and sheet.recovery.share is not None else None


def _recovery(sheet: Sheet) -> Facts:
    found = _decided(sheet)
    if found is None or found.share is None:
        return []
    return [
        {
            "decided": str(found.decided),
            "paid": str(found.paid),
            "low": f"{found.low:.0%}",
            "high": f"{found.high:.0%}",
            "share": f"{found.share:.0%}",
        }
    ]


def _like(*, is_few: bool) -> Callable[[Sheet], Facts]:
    def facts(sheet: Sheet) -> Facts:
        found = sheet.lesson
        if found is None or (found.like < values.FEWEST) != is_few:
            return []
        low, high = (f"{limit:.1%}" for limit in found.like_interval)
        return [{"damaged": str(found.like_damaged), "like": values.count(found.like), "low": low, "high": high}]

    return facts


def _others(sheet: Sheet) -> Facts:
    found = sheet.lesson
    if found is None or found.other == 0:
        return []
    return [{"other_damaged": str(found.other_damaged), "other": values.count(found.other)}]


def _chance(is_pattern: bool) -> Callable[[Sheet], Facts]:
    def facts(sheet: Sheet) -> Facts:
        found = sheet.lesson
        if found is None or found.chance is None or found.is_pattern != is_pattern:
            return []
        return [{"chance": f"{found.chance:.0%}"}]

    return facts


def _settled_by(sheet: Sheet) -> Facts:
    found = sheet.lesson.settled_by if sheet.lesson else None
    return _if(bool(found), count=values.about(found or 0))


CHANCE = "If these were no worse than the others, as many or more would be damaged with a chance of {chance}"
ENTRIES = (
    SheetEntry(
        "sheet.no_claim",
        "No claim is on record for this parcel. Open one with --cause damage (or loss, delay, return), with "
        "--opened, the day the buyer reported it, and --delivered, the day of delivery.",
        lambda sheet: _if(sheet.claim is None),
    ),
    SheetEntry(
        "sheet.settled",
        "The claim is {state}. Nothing is due.",
        lambda sheet: _if(_state(sheet) in SETTLED, state=_state(sheet)),
    ),
    SheetEntry("sheet.passed", "The {deadline} to {steps} {have} passed.", _passed),
    SheetEntry("sheet.next", "{step} by {day} ({left}).", _next),
    SheetEntry(
        "sheet.waits",
        "The claim waits for the carrier's answer.",
        lambda sheet: _if(_nothing_due(sheet) and _state(sheet) in WITH_CARRIER),
    ),
    SheetEntry(
        "sheet.no_deadline",
        "No deadline is known for the next step.",
        lambda sheet: _if(_without_day(sheet) and not _late(sheet)),
    ),
    SheetEntry(
        "sheet.ask_carrier",
        "Ask the carrier whether it still takes it.",
        lambda sheet: _if(_without_day(sheet) and bool(_late(sheet))),
    ),
    SheetEntry(
        "sheet.asked_of_all",
        "What carriers ask to see is common practice, without a source; yours may ask for more.",
        lambda sheet: _if(bool(sheet.missing)),
    ),
    SheetEntry(
        "sheet.folder",
        "Put pictures into {folder}, then run the command with --attach.",
        lambda sheet: _if(bool(sheet.folder), folder=sheet.folder),
    ),
    SheetEntry(
        "sheet.not_paid_for", "The carrier pays for damage and loss alone.", lambda sheet: _if(sheet.recovery is None)
    ),
    SheetEntry(
        "sheet.none_decided",
        "No claim of this cause with this carrier was decided yet: what it will pay is not known.",
        lambda sheet: _if(sheet.recovery is not None and _decided(sheet) is None),
    ),
    SheetEntry(
        "sheet.recovery",
        "Of {decided} decided claims of this cause with this carrier it paid {paid} (95% interval of the chance {low} "
        "to {high}), and {share} of all that was claimed. No payment is taken off the costs above.",
        _recovery,
    ),
    SheetEntry(
        "sheet.few_decided",
        "These are few: the chance may change with the next decision.",
        lambda sheet: _if((found := _decided(sheet)) is not None and found.is_few),
    ),
    SheetEntry("sheet.like", f"{ALIKE} (95% interval {{low}} to {{high}}).", _like(is_few=False)),
    SheetEntry("sheet.like_few", f"{ALIKE}, too few for a share.", _like(is_few=True)),
    SheetEntry("sheet.others", "Of others of the item type: {other_damaged} of {other}.", _others),
    SheetEntry(
        "sheet.no_others",
        "No other parcel of the item type is on record to compare with.",
        lambda sheet: _if(sheet.lesson is not None and sheet.lesson.chance is None),
    ),
    SheetEntry("sheet.pattern", f"{CHANCE}: this may be a pattern.", _chance(True)),
    SheetEntry("sheet.no_pattern", f"{CHANCE}: this is no proof of a pattern.", _chance(False)),
    SheetEntry(
        "sheet.settled_by",
        "If the shares stay as they are, about {count} parcels of each kind would tell them apart in four of five "
        "cases.",
        _settled_by,
    ),
    SheetEntry(
        "sheet.rule",
        "Rule of thumb (common practice, no source): {rule}.",
        lambda sheet: [{"rule": THUMB_RULES[rule]} for rule in sheet.rules_broken],
    ),
)
