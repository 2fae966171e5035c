"""The tariff format: one TOML file of rules and one CSV of prices, given as text, become a Tariff or findings."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Mapping
from decimal import Decimal
from typing import Any

from models.errors import TariffError
from models.tariffs.price_file import learned_days, prices
from models.tariffs.reading import Finding, Notes, Section, key_lines
from models.tariffs.rules import (
    DISPUTE_STARTS,
    KINDS,
    LENGTHS_PER_INCH,
    MEASURES,
    SIDE_ROUNDINGS,
    WEIGHTS_PER_POUND,
    Condition,
    DeclaredSteps,
    Discount,
    Fuel,
    Service,
    Surcharge,
    Tariff,
)


def fault(findings: list[Finding]) -> TariffError:
    """The first finding that stops, as an error."""
    first = next(each for each in findings if each.level == "stop")
    return TariffError(f"{first.file}, line {first.line}", first.what, "every parcel of this tariff", first.next_step)


def read(
    rules_file: str, rules_text: str, prices_text: Callable[[str], str | None]
) -> tuple[Tariff | None, list[Finding]]:
    """The tariff and what was found while reading it; no tariff where something stops."""
    notes = Notes(rules_file, key_lines(rules_text))
    try:
        stated = tomllib.loads(rules_text, parse_float=Decimal)
    except tomllib.TOMLDecodeError as wrong:
        # The library states the line in its message only.
        stated_line = re.search(r"line (\d+)", str(wrong))
        notes.add(int(stated_line[1]) if stated_line else 0, f"is not valid TOML: {wrong}", "mend that line")
        return None, notes.findings
    tariff = _tariff(Section(stated, ("", 1), notes), prices_text)
    return (tariff if not any(each.level == "stop" for each in notes.findings) else None), notes.findings


def _tariff(top: Section, prices_text: Callable[[str], str | None]) -> Tariff | None:
    prices_file = top.text("prices")
    text = prices_text(prices_file) if prices_file else None
    price_rows = prices(top, prices_file, text)
    learned_first_on, learned_last_on = learned_days(top, prices_file, text)
    effective_from = top.day("effective_from", needed=True)
    stated: dict[str, Any] = {
        "file": top.notes.file,
        "tariff_code": top.text("tariff_code"),
        "carrier": top.text("carrier"),
        "source": top.text("source"),
        "effective_to": top.day("effective_to"),
        "currency": top.text("currency"),
        "length_unit": top.text("length_unit", tuple(LENGTHS_PER_INCH)),
        "weight_unit": top.text("weight_unit", tuple(WEIGHTS_PER_POUND)),
        "prices_file": prices_file,
        "dispute_days": top.whole("dispute_days", needed=True) or 0,
        "dispute_from": top.text("dispute_from", DISPUTE_STARTS),
        "claim_days": top.whole("claim_days", needed=True) or 0,
        "label_refund_days": top.whole("label_refund_days"),
        "services": tuple(_service(each) for each in top.tables("services")),
        "surcharges": tuple(_surcharge(each) for each in top.tables("surcharges")),
        "areas": _areas(top),
        "fuel": tuple(each for section in top.tables("fuel") if (each := _fuel(section))),
        "discounts": tuple(_discount(each) for each in top.tables("discounts")),
        "prices": price_rows,
        "learned_first_on": learned_first_on,
        "learned_last_on": learned_last_on,
    }
    top.done()
    return Tariff(effective_from=effective_from, **stated) if effective_from else None


def _service(section: Section) -> Service:
    service = Service(
        service=section.text("service"),
        side_rounding=section.text("side_rounding", SIDE_ROUNDINGS),
        divisor=section.number("divisor", above_zero=True),
        divisor_above_milli=section.milli("divisor_above_volume", "0"),
        non_rectangular_factor=section.number("non_rectangular_factor", "1", above_zero=True),
        weight_step_milli=section.milli("weight_step", above_zero=True),
        minimum_weight_milli=section.milli("minimum_weight", "0"),
        limits=_limits(section),
        line=section.line(),
    )
    section.done()
    return service


def _limits(section: Section) -> tuple[tuple[str, int], ...]:
    stated = section.value("limits", (dict,), "a table such as { longest_side = 108.0 }", needed=False) or {}
    inner = Section(stated, section.place, section.notes, within="limits")
    for measure in stated:
        if measure not in MEASURES:
            section.wrong("limits", f"names the unknown measure {measure}", f"use one of {', '.join(MEASURES)}")
    return tuple((measure, inner.milli(measure)) for measure in stated if measure in MEASURES)


def _surcharge(section: Section) -> Surcharge:
    amounts = [key for key in ("amount_cents", "percent", "per_declared") if key in section.stated]
    if len(amounts) != 1:
        what = "of amount_cents, percent and per_declared exactly one must stand"
        section.notes.add(section.line(amounts[0] if amounts else ""), what, "state one of the three")
    row = Surcharge(
        surcharge=section.text("surcharge"),
        charge_code=section.text("charge_code"),
        services=section.texts("services"),
        zones=section.texts("zones"),
        when=_when(section),
        is_residential=section.flag("residential"),
        area=section.optional_text("area"),
        valid_from=section.day("from"),
        valid_to=section.day("to"),
        amount_cents=section.whole("amount_cents"),
        share_millionths=section.share("percent") if "percent" in section.stated else None,
        of=_kinds(section, "of", section.texts("of") or ("base",)),
        declared=_declared(section),
        group=section.optional_text("group"),
        rank=section.whole("rank") or 0,
        minimum_weight_milli=section.milli("minimum_weight", "0"),
        at_most_cents=section.whole("at_most_cents"),
        line=section.line(),
    )
    section.read.add("percent")
    section.done()
    return row


def _when(section: Section) -> tuple[tuple[Condition, ...], ...]:
    stated = section.value("when", (list,), "a list of lists of conditions", needed=False)
    if stated is None:
        return ((),)
    if not all(isinstance(alternative, list) and alternative for alternative in stated) or not stated:
        section.wrong("when", "is no list of lists of conditions", 'write [[{ measure = "...", more_than = 48.0 }]]')
        return ((),)
    return tuple(tuple(found for each in alternative if (found := _condition(section, each))) for alternative in stated)


def _condition(section: Section, stated: Any) -> Condition | None:
    comparisons = [key for key in ("more_than", "at_least") if isinstance(stated, Mapping) and key in stated]
    if len(comparisons) != 1 or len(stated) != 2:
        section.wrong("when", f"holds the condition {stated}", "state measure and one of more_than, at_least")
        return None
    measure = stated.get("measure")
    if measure not in MEASURES:
        section.wrong("when", f"names the unknown measure {measure}", f"use one of {', '.join(MEASURES)}")
        return None
    inner = Section(stated, section.place, section.notes, within="when")
    return Condition(str(measure), comparisons[0] == "at_least", inner.milli(comparisons[0]))


def _declared(section: Section) -> DeclaredSteps | None:
    stated = section.value("per_declared", (dict,), "a table of above_cents, step_cents, amount_cents", needed=False)
    if stated is None:
        return None
    inner = Section(stated, section.place, section.notes, within="per_declared")
    above = inner.whole("above_cents", needed=True)
    step = inner.whole("step_cents", needed=True, least=1)
    amount = inner.whole("amount_cents", needed=True)
    inner.done()
    return DeclaredSteps(above or 0, max(step or 1, 1), amount or 0)


def _kinds(section: Section, key: str, kinds: tuple[str, ...]) -> tuple[str, ...]:
    for kind in kinds:
        if kind not in KINDS:
            section.wrong(key, f"names the unknown kind {kind}", f"use one of {', '.join(KINDS)}")
    return kinds


def _fuel(section: Section) -> Fuel | None:
    valid_from = section.day("from", needed=True)
    share = section.share("percent")
    on = _kinds(section, "on", section.texts("on", needed=True) or ())
    section.done()
    return Fuel(valid_from, share, on, section.line()) if valid_from else None


def _discount(section: Section) -> Discount:
    on = section.texts("on", needed=True) or ()
    for target in on:
        if target != "base" and not target.startswith("surcharge:"):
            section.wrong("on", f"names the unknown kind {target}", 'use base or "surcharge:NAME"')
    discount = Discount(
        services=section.texts("services"),
        share_millionths=section.share("percent"),
        on=on,
        minimum_charge_cents=section.whole("minimum_charge_cents") or 0,
        valid_from=section.day("from"),
        line=section.line(),
    )
    section.done()
    return discount


def _areas(top: Section) -> tuple[tuple[str, tuple[str, ...]], ...]:
    stated = top.value("areas", (dict,), "a table of lists", needed=False) or {}
    section = Section(stated, ("areas", 1), top.notes)
    return tuple((area, section.texts(area, needed=True) or ()) for area in stated)
