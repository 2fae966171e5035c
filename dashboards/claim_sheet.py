"""A claim's sheet in words, for the terminal and the page. No library is loaded: the command answers at once."""

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from dashboards import values
from dashboards.sentences import words
from dashboards.sentences.claim_sheet import STEPS, days, left, stated
from models import columns
from models.claims.deadlines import DONE, OVERDUE, Deadline
from models.claims.evidence import ASKED, KINDS
from models.claims.refunds import Recovery, Way
from models.claims.sheet import KEEP, Sheet
from models.claims.texts import NOT_KNOWN
from models.shop_units import LENGTH, Units, measure_of

Row = Mapping[str, Any]
STARTS = {
    "shipped_on": "shipping",
    "delivered_on": "delivery",
    "opened_on": "the buyer's report",
    "filed_on": "filing",
    "decided_on": "the carrier's decision",
}
SENT = words(
    "shipped_on carrier service zone carton_code cut_height_in packing_method scale_weight_lb declared_value_cents "
    "insured_cents"
)
CLAIM = words(
    "claim_id claim_cause claim_state opened_on delivered_on filed_on appealed_on decided_on damaged_part "
    "claimed_cents paid_cents"
)
# Nothing on record means that it did not happen: these lines are left out then.
MAY_NOT_BE = frozenset(("cut_height_in", "filed_on", "appealed_on", "decided_on", "damaged_part"))
# Sentences by their place on the sheet; where they exclude each other, their conditions decide.
NEXT = words("sheet.no_claim sheet.settled sheet.passed sheet.next sheet.waits sheet.no_deadline sheet.ask_carrier")
EVIDENCE = ("sheet.asked_of_all", "sheet.folder")
RECOVERY = ("sheet.not_paid_for", "sheet.none_decided", "sheet.recovery", "sheet.few_decided")
LESSON = words(
    "sheet.like sheet.like_few sheet.others sheet.no_others sheet.pattern sheet.no_pattern sheet.settled_by "
    "sheet.cushioning sheet.board sheet.value"
)
TO_CARRIER = "to-carrier.txt"
SIDES = ("length_in", "width_in", "height_in")


@dataclass(frozen=True)
class Part:
    """A part of the sheet: its title, lines of a label and a text, and sentences below them.

    is_own: for the shop alone, and in no packet: what ways out cost it, what it knows of its own packing.
    """

    title: str
    pairs: Sequence[tuple[str, str]] = ()
    lines: Sequence[str] = ()
    is_urgent: bool = False
    is_letter: bool = False
    is_own: bool = False


def parts(sheet: Sheet, units: Units) -> list[Part]:
    """The whole sheet, what is to be done first."""
    is_urgent = any(each.state == OVERDUE for each in sheet.deadlines)
    due = [(STEPS[each.step].capitalize(), deadline_words(each)) for each in sheet.deadlines]
    letters = [_letter(name, text) for name, text in sheet.texts.items()]
    found = [
        Part("Next", lines=[" ".join(stated(NEXT, sheet))], is_urgent=is_urgent, is_own=True),
        Part("The carrier's days", due, is_own=True),
        _claim_part(sheet, units),
        Part("What was sent", _sent(sheet, units)),
        Part("Goods", _goods(sheet, units)),
        Part("Invoice lines", _lines(sheet, units)),
        _evidence(sheet),
        Part("What each way out costs", way_pairs(sheet, units), is_own=True),
        Part("What the carrier may pay", recovery_pairs(sheet), [" ".join(stated(RECOVERY, sheet))], is_own=True),
        Part("What it teaches", lines=stated(LESSON, sheet), is_own=True),
        Part("Keep until the claim is closed", lines=KEEP, is_own=True),
        Part("Care", lines=sheet.cautions, is_own=True),
        *letters,
    ]
    return [part for part in found if part.pairs or part.lines]


def _letter(name: str, text: str) -> Part:
    return Part(_title(name), lines=text.splitlines(), is_letter=True, is_own=name != TO_CARRIER)


def _title(name: str) -> str:
    return {"to-buyer.txt": "Text to the buyer", TO_CARRIER: "Text to the carrier"}.get(name, name)


def deadline_words(deadline: Deadline) -> str:
    """One step's day and how it stands."""
    term = deadline.term
    if deadline.state == DONE:
        return "done"
    if term is None:
        return "the tariff states no term"
    length = f"{term.number} {term.unit.replace('_', ' ')} after {STARTS[term.start]}"
    if deadline.due_on is None:
        return f"{length}; {_start_words(deadline)}"
    how = f"overdue by {days(abs(deadline.days_left or 0))}" if deadline.state == OVERDUE else left(deadline)
    return f"by {values.day(deadline.due_on)}, {how} ({length})"


def _start_words(deadline: Deadline) -> str:
    """What is known of a day that has not come or that no record says."""
    if deadline.state == "not yet":
        return "counts from then"
    if deadline.missing == "shipped_on":
        return "that day is not known; state it in the bench log"
    return "that day is not known; state it with --delivered"


def _claim_part(sheet: Sheet, units: Units) -> Part:
    others = [f"Also on record: {row['claim_id']} ({row['claim_cause']}, {row['claim_state']})" for row in sheet.claims]
    claim = sheet.claim
    if claim is None:
        return Part("Claim")
    names = CLAIM if claim["decided_on"] else CLAIM[:-1]
    return Part("Claim", _pairs(claim, names, units), [line for line in others if f" {claim['claim_id']} " not in line])


def _pairs(row: Row, names: Sequence[str], units: Units) -> list[tuple[str, str]]:
    known = [name for name in names if row[name] is not None or name not in MAY_NOT_BE]
    return [(columns.label(name), shown(row[name], name, units)) for name in known]


def shown(value: Any, name: str, units: Units) -> str:
    """A cell in the shop's units; what no record says is NOT_KNOWN."""
    if value is None:
        return NOT_KNOWN
    measure = measure_of(name)
    if measure is not None:
        return units.measured(measure, float(value))
    if isinstance(value, dt.date):
        return values.day(value)
    return values.money(value, units.currency) if name.endswith("_cents") else values.plain(value)


def sides(sheet: Sheet, units: Units) -> str:
    """The closed carton's sides."""
    found = [sheet.parcel[name] for name in SIDES]
    return NOT_KNOWN if None in found else units.measured(LENGTH, *map(float, found))


def _sent(sheet: Sheet, units: Units) -> list[tuple[str, str]]:
    pairs = _pairs(sheet.parcel, SENT, units)
    tracking = [("Tracking number", str(sheet.parcel["parcel_id"]))]
    return [*tracking, *pairs[:-3], ("Closed sides", sides(sheet, units)), *pairs[-3:]]


def _goods(sheet: Sheet, units: Units) -> list[tuple[str, str]]:
    return [
        (
            f"Sale {values.plain(row['sale_id'])}, line {row['line_number']}",
            f"{row['packed_quantity']} x {values.plain(row['item_type'])}, sold at "
            f"{shown(row['item_price_cents'], 'item_price_cents', units)}, cost "
            f"{shown(row['item_cost_cents'], 'item_cost_cents', units)} each",
        )
        for row in sheet.goods
    ] or [("Goods", f"{NOT_KNOWN}: no record says what was in it")]


def _lines(sheet: Sheet, units: Units) -> list[tuple[str, str]]:
    return [
        (
            f"{values.plain(row['invoice_number'])}, line {row['line_number']}",
            f"{values.day(row['invoiced_on'])}, {values.plain(row['charge_code'])}: "
            f"{shown(row['amount_cents'], 'amount_cents', units)}",
        )
        for row in sheet.lines
    ] or [("Invoice", f"{NOT_KNOWN}: no invoice on record names the parcel")]


def _evidence(sheet: Sheet) -> Part:
    pairs = [(ASKED.get(kind, "other files"), str(sheet.kept.get(kind, 0))) for kind in KINDS if kind in ASKED]
    pairs += [("not sorted yet", str(sheet.kept["other"]))] if sheet.kept.get("other") else []
    return Part("Evidence: files on record", pairs, stated(EVIDENCE, sheet), is_own=True)


def lines(sheet: Sheet, units: Units) -> Iterator[str]:
    """The sheet as lines for a terminal."""
    yield f"Parcel {sheet.parcel['parcel_id']}, {values.day(sheet.made_on)}"
    for part in parts(sheet, units):
        yield ""
        yield part.title
        for label, text in part.pairs:
            yield f"  {label}: {text}"
        yield from (f"  {line}" if line else "" for line in part.lines)


def way_pairs(sheet: Sheet, units: Units) -> list[tuple[str, str]]:
    """Each way out with what it costs the shop."""
    return [(way.name.capitalize(), _cost(way, units)) for way in sheet.ways]


def _cost(way: Way, units: Units) -> str:
    if way.cost is None:
        return f"not known: no record of {way.lacking}"
    less = way.cost_less_fee
    back = f", or {_money(less, units)} where the fee comes back" if way.fee_back and less is not None else ""
    return f"{_money(way.cost, units)}{back}"


def _money(cents: int, units: Units) -> str:
    return values.money(cents, units.currency)


def recovery_pairs(sheet: Sheet) -> list[tuple[str, str]]:
    """What the carrier made of decided claims of the cause, by the evidence that is on record of them."""
    return [(f"Claims {kind}", _decided(found)) for kind, found in sheet.by_evidence if found.decided]


def _decided(found: Recovery) -> str:
    few = "; few" if found.is_few else ""
    return f"{found.paid} of {found.decided} paid (95% interval {found.low:.0%} to {found.high:.0%}){few}"
