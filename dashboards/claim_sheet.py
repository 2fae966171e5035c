"""A claim's sheet in words, for the terminal and the page. No library is loaded: the command answers at once."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from dashboards import values
from dashboards.claim_money import lesson_lines, recovery_words, way_pairs
from models import columns
from models.claims.evidence import ASKED, KINDS
from models.claims.sheet import KEEP, Sheet
from models.claims.terms import DONE, OVERDUE, Deadline
from models.claims.texts import NOT_KNOWN
from models.shop_units import LENGTH, Units, measure_of

Row = Mapping[str, Any]
STEPS = {
    "notice": "tell the carrier",
    "filing": "file the claim",
    "evidence": "send the evidence",
    "answer": "the carrier answers",
    "appeal": "appeal the decision",
}
STARTS = {
    "shipped_on": "shipping",
    "delivered_on": "delivery",
    "opened_on": "the buyer's report",
    "filed_on": "filing",
    "decided_on": "the carrier's decision",
}
SENT = (
    *("shipped_on", "carrier", "service", "zone", "carton_code", "cut_height_in", "packing_method", "scale_weight_lb"),
    *("declared_value_cents", "insured_cents"),
)
CLAIM = (
    *("claim_id", "claim_cause", "claim_state", "opened_on", "delivered_on", "filed_on", "appealed_on", "decided_on"),
    *("damaged_part", "claimed_cents", "paid_cents"),
)
# Nothing on record means that it did not happen: these lines are left out then.
MAY_NOT_BE = frozenset(("cut_height_in", "filed_on", "appealed_on", "decided_on", "damaged_part"))
SIDES = ("length_in", "width_in", "height_in")


@dataclass(frozen=True)
class Part:
    """A part of the sheet: its title, lines of a label and a text, and sentences below them."""

    title: str
    pairs: Sequence[tuple[str, str]] = ()
    lines: Sequence[str] = ()
    is_urgent: bool = False
    is_letter: bool = False


def parts(sheet: Sheet, units: Units) -> list[Part]:
    """The whole sheet, what is to be done first."""
    found = [
        Part("Next", lines=[next_words(sheet)], is_urgent=any(each.state == OVERDUE for each in sheet.deadlines)),
        Part("The carrier's days", [(STEPS[each.step].capitalize(), deadline_words(each)) for each in sheet.deadlines]),
        _claim_part(sheet, units),
        Part("What was sent", _sent(sheet, units)),
        Part("Goods", _goods(sheet, units)),
        Part("Invoice lines", _lines(sheet, units)),
        _evidence(sheet),
        Part("What each way out costs", way_pairs(sheet, units), [recovery_words(sheet.recovery)]),
        Part("What it teaches", lines=list(lesson_lines(sheet))),
        Part("Keep until the claim is closed", lines=KEEP),
        Part("Care", lines=sheet.cautions),
    ]
    letters = [Part(_title(name), lines=text.splitlines(), is_letter=True) for name, text in sheet.texts.items()]
    return [part for part in [*found, *letters] if part.pairs or part.lines]


def _title(name: str) -> str:
    return {"to-buyer.txt": "Text to the buyer", "to-carrier.txt": "Text to the carrier"}.get(name, name)


def next_words(sheet: Sheet) -> str:
    """What to do next, in a sentence."""
    if sheet.claim is None:
        return (
            "No claim is on record for this parcel. Open one with --cause damage (or loss, delay, return), with "
            "--opened, the day the buyer reported it, and --delivered, the day of delivery."
        )
    state, due = str(sheet.claim["claim_state"]), sheet.next_step
    late = [STEPS[each.step] for each in sheet.deadlines if each.state == OVERDUE and each.step != "answer"]
    said = f"The last day has passed to {', and to '.join(late)}. " if late and state not in ("paid", "closed") else ""
    if state in ("paid", "closed", "withdrawn"):
        return f"The claim is {state}. Nothing is due."
    if due and due.due_on:
        return f"{said}{STEPS[due.step].capitalize()} by {values.day(due.due_on)} ({_left(due)})."
    if state in ("filed", "asked", "appealed"):
        return f"{said}The claim waits for the carrier's answer."
    return said + (
        "No last day is known for the next step." if not said else "Ask the carrier whether it still takes it."
    )


def _left(deadline: Deadline) -> str:
    days = deadline.days_left or 0
    return "today" if days == 0 else f"{days} day{'s' if days != 1 else ''} left"


def deadline_words(deadline: Deadline) -> str:
    """One step's day and how it stands."""
    term = deadline.term
    if deadline.state == DONE:
        return "done"
    if term is None:
        return "the tariff states no term"
    length = f"{term.number} {term.unit.replace('_', ' ')} after {STARTS[term.start]}"
    if deadline.due_on is None:
        told = "counts from then" if deadline.state == "not yet" else "that day is not known; state it with --delivered"
        return f"{length}; {told}"
    days = abs(deadline.days_left or 0)
    how = f"overdue by {days} day{'s' if days != 1 else ''}" if deadline.state == OVERDUE else _left(deadline)
    return f"by {values.day(deadline.due_on)}, {how} ({length})"


def _claim_part(sheet: Sheet, units: Units) -> Part:
    others = [f"Also on record: {row['claim_id']} ({row['claim_cause']}, {row['claim_state']})" for row in sheet.claims]
    claim = sheet.claim
    if claim is None:
        return Part("Claim")
    names = CLAIM if claim["decided_on"] else CLAIM[:-1]
    return Part("Claim", _pairs(claim, names, units), [line for line in others if f" {claim['claim_id']} " not in line])


def _pairs(row: Row, names: Sequence[str], units: Units) -> list[tuple[str, str]]:
    told = [name for name in names if row[name] is not None or name not in MAY_NOT_BE]
    return [(columns.label(name), shown(row[name], name, units)) for name in told]


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
    lines = ["What carriers ask to see is common practice, without a source; yours may ask for more."]
    if sheet.folder:
        lines.append(f"Put pictures into {sheet.folder}, then run the command with --attach.")
    return Part("Evidence: files on record", pairs, lines)


def lines(sheet: Sheet, units: Units) -> Iterator[str]:
    """The sheet as lines for a terminal."""
    yield f"Parcel {sheet.parcel['parcel_id']}, {values.day(sheet.made_on)}"
    for part in parts(sheet, units):
        yield ""
        yield part.title
        for label, text in part.pairs:
            yield f"  {label}: {text}"
        yield from (f"  {line}" if line else "" for line in part.lines)
