"""The tariff format: one TOML file of rules and one CSV of prices, given as text, become a Tariff or findings."""

import csv
import io
import re
import tomllib
from collections.abc import Callable, Mapping
from decimal import Decimal
from functools import partial
from typing import Any

from models.errors import TariffError
from models.tariffs.charge_sections import discount_of, extra_of, fuel_of, further_of, rounding_of, surcharge_of, tax_of
from models.tariffs.charges import NEAREST_CENT
from models.tariffs.claim_terms import claim_terms
from models.tariffs.places import begins, normal, prefixes
from models.tariffs.price_file import learned_days, prices
from models.tariffs.reading import Finding, Notes, Section, key_lines
from models.tariffs.rules import (
    EXTRA_KINDS,
    LENGTHS_PER_INCH,
    MEASURES,
    SIDE_ROUNDINGS,
    WEIGHTS_PER_POUND,
    ChartRow,
    Promise,
    Service,
    SizeClass,
    Tariff,
)
from models.tariffs.shipments import shipment_of
from models.tariffs.terms import terms, without_guesses


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
        stated = tomllib.loads(without_guesses(rules_text), parse_float=Decimal)
    except tomllib.TOMLDecodeError as wrong:
        # The library states the line in its message only.
        stated_line = re.search(r"line (\d+)", str(wrong))
        notes.add(int(stated_line[1]) if stated_line else 0, f"is not valid TOML: {wrong}", "correct that line")
        return None, notes.findings
    tariff = Section(stated, ("", 1), notes).whole_of(lambda top: _tariff(top, prices_text))
    return (tariff if not any(each.level == "stop" for each in notes.findings) else None), notes.findings


def _tariff(top: Section, prices_text: Callable[[str], str | None]) -> Tariff | None:
    prices_file = top.text("prices")
    text = prices_text(prices_file) if prices_file else None
    price_rows = prices(top, prices_file, text)
    learned_first_on, learned_last_on = learned_days(top, prices_file, text)
    effective_from = top.day("effective_from", needed=True)
    rounding = rounding_of(top, NEAREST_CENT)
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
        **terms(top),
        "claim_terms": claim_terms(top),
        "services": top.rows("services", _service),
        "classes": top.rows("classes", _class),
        "further": top.rows("further", further_of),
        "surcharges": top.rows("surcharges", partial(surcharge_of, default=rounding)),
        "extras": tuple(
            row for kind in EXTRA_KINDS for row in top.rows(f"{kind}s", partial(extra_of, kind=kind, default=rounding))
        ),
        "areas": _areas(top),
        "promises": top.rows("promises", _promise),
        "ships_from": top.optional_text("ships_from"),
        "zone_chart": zone_chart(top, prices_text),
        "fuel": top.rows("fuel", fuel_of),
        "discounts": top.rows("discounts", partial(discount_of, default=rounding)),
        "taxes": top.rows("tax", tax_of),
        "is_tax_in_prices": top.flag("tax_in_prices"),
        "is_tax_reclaimable": top.flag("tax_reclaimable"),
        "shipments": top.rows("shipments", partial(shipment_of, default=rounding)),
        "rounding": rounding,
        "tax_rounding": rounding_of(top, NEAREST_CENT, "tax_rounding"),
        "prices": price_rows,
        "learned_first_on": learned_first_on,
        "learned_last_on": learned_last_on,
    }
    return Tariff(effective_from=effective_from, **stated) if effective_from else None


def _service(section: Section) -> Service:
    section.read.add("divisor")
    return Service(
        service=section.text("service"),
        side_rounding=section.text("side_rounding", SIDE_ROUNDINGS),
        divisor=None if section.stated.get("divisor") == "none" else section.number("divisor", above_zero=True),
        divisor_above_milli=section.milli("divisor_above_volume", "0"),
        non_rectangular_factor=section.number("non_rectangular_factor", "1", above_zero=True),
        weight_step_milli=section.milli("weight_step", above_zero=True),
        minimum_weight_milli=section.milli("minimum_weight", "0"),
        limits=_measures(section, "limits"),
        minimums=_measures(section, "minimums"),
        line=section.line(),
    )


def _class(section: Section) -> SizeClass:
    return SizeClass(
        size_class=section.text("class"),
        services=section.texts("services"),
        at_most=_measures(section, "at_most"),
        line=section.line(),
    )


def _measures(section: Section, key: str) -> tuple[tuple[str, int], ...]:
    stated = section.value(key, (dict,), "a table such as { longest_side = 108.0 }", needed=False) or {}
    inner = Section(stated, section.place, section.notes, within=key)
    for measure in stated:
        if measure not in MEASURES:
            section.wrong(key, f"names the unknown measure {measure}", f"use one of {', '.join(MEASURES)}")
    return tuple((measure, inner.milli(measure)) for measure in stated if measure in MEASURES)


def _areas(top: Section) -> tuple[tuple[str, tuple[str, ...]], ...]:
    stated = top.value("areas", (dict,), "a table of lists", needed=False) or {}
    section = Section(stated, ("areas", 1), top.notes)
    return tuple((area, _entries(section, area)) for area in stated)


def _entries(section: Section, area: str) -> tuple[str, ...]:
    found = section.texts(area, needed=True) or ()
    for entry in found:
        try:
            prefixes(entry)
        except ValueError as wrong:
            section.wrong(area, f"lists {entry}, which {wrong}", 'write the beginning of codes, or "IV1..IV28"')
            return ()
    return found


def _promise(section: Section) -> Promise:
    return Promise(days=section.whole("days", needed=True) or 0, **section.scope())


CHART_HEADER = ["origin", "destination", "zone"]
_WRONG = "write origin,destination,zone: beginnings of postal codes, a range as 20000..20999, an empty origin for any"


def zone_chart(top: Section, text_of: Callable[[str], str | None]) -> tuple[ChartRow, ...]:
    """The chart's rows for `ships_from`; none where the tariff names no chart. What is wrong becomes a finding."""
    file = top.text("zone_chart", needed=False)
    ships_from = top.text("ships_from", needed=bool(file))
    if not file:
        return ()
    text = text_of(file)
    if text is None:
        top.wrong("zone_chart", f"= {file} does not exist", "put the file beside the tariff, or correct the name")
        return ()
    notes = Notes(file)
    rows = _rows(text, notes)
    top.notes.findings += notes.findings
    found = tuple(row for row in rows if _is_from(row.origin, ships_from))
    if rows and not found:
        top.wrong("ships_from", f"= {ships_from} is no origin of {file}", "state the postal code that you ship from")
    return found


def _is_from(origin: str, ships_from: str) -> bool:
    return not origin or any(begins(normal(ships_from), prefix) for prefix in prefixes(origin))


def _rows(text: str, notes: Notes) -> list[ChartRow]:
    reader = csv.DictReader(io.StringIO(text))
    if not set(CHART_HEADER) <= set(reader.fieldnames or ()) <= {*CHART_HEADER, "service"}:
        notes.add(1, f"the header is not {','.join(CHART_HEADER)}, with or without service", "correct that line")
        return []
    return [row for cells in reader if (row := _row(cells, reader.line_num, notes))]


def _row(cells: Mapping[str, str | None], line: int, notes: Notes) -> ChartRow | None:
    origin, destination, zone = ((cells[name] or "").strip() for name in CHART_HEADER)
    try:
        for entry in filter(None, (origin, destination)):
            prefixes(entry)
        if not destination or not zone:
            raise ValueError("is not whole")
    except ValueError as wrong:
        notes.add(line, f"{origin},{destination},{zone} {wrong}", _WRONG)
        return None
    return ChartRow(origin, destination, zone, (cells.get("service") or "").strip(), line)
