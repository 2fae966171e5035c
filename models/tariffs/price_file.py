"""The price file of a tariff: one CSV row per service, zone and weight; lines before the header begin with #.

Such a line marks prices that were learned from bills, so that their error can be shown wherever they are used.
"""

from __future__ import annotations

import csv
import io
import re
from datetime import date
from decimal import Decimal, InvalidOperation

from models.tariffs.reading import Notes, Section
from models.tariffs.rules import MILLI, Price

PRICE_HEADER = ["service", "zone", "up_to_weight", "price_cents"]
_LEARNED = re.compile(r"# learned from bills of parcels shipped (\S+) to (\S+) in (\w+)")


def learned_mark(first: date, last: date, weight_unit: str) -> str:
    """The first line of a price file that was learned from the bills of these days of shipping."""
    return f"# learned from bills of parcels shipped {first} to {last} in {weight_unit}"


def learned_days(top: Section, prices_file: str, text: str | None) -> tuple[date | None, date | None]:
    """First and last day of shipping that the prices were learned from; None and None for published ones.

    Days that are none, and weights in another unit than the tariff's, become findings.
    """
    found = _LEARNED.search((text or "").split(",".join(PRICE_HEADER), 1)[0])
    if not found:
        return None, None
    notes, unit = Notes(prices_file), top.stated.get("weight_unit")
    if found[3] != unit:
        notes.add(1, f"the weights are in {found[3]}, the tariff's in {unit}", f"learn them again with --unit {unit}")
    try:
        return date.fromisoformat(found[1]), date.fromisoformat(found[2])
    except ValueError:
        notes.add(1, f"{found[0]!r} names no days", "write them as 2025-01-01, or learn the prices again")
        return None, None
    finally:
        top.notes.findings += notes.findings


def prices(top: Section, prices_file: str, text: str | None) -> tuple[Price, ...]:
    """The price rows; what is wrong with the file or a row becomes a finding."""
    if text is None:
        if prices_file:
            top.wrong("prices", f"= {prices_file} does not exist", "put the file beside the tariff, or mend the name")
        return ()
    notes = Notes(prices_file)
    rows = list(enumerate(csv.reader(io.StringIO(text)), 1))
    while rows and rows[0][1][:1] and rows[0][1][0].startswith("#"):
        rows.pop(0)
    if not rows or rows[0][1] != PRICE_HEADER:
        number = rows[0][0] if rows else 1
        notes.add(number, f"the header is not {','.join(PRICE_HEADER)}", "mend that line")
        rows = []
    found = [_price(row, number, notes) for number, row in rows[1:] if row]
    top.notes.findings += notes.findings
    return tuple(price for price in found if price)


def _price(row: list[str], line: int, notes: Notes) -> Price | None:
    try:
        service, zone, up_to, cents = row
        milli = Decimal(up_to) * MILLI
        price_cents = int(cents) if cents else None
        if milli % 1 or milli <= 0 or (price_cents or 0) < 0 or not service or not zone:
            raise ValueError
        return Price(service, zone, int(milli), price_cents, line)
    except (ValueError, InvalidOperation):
        notes.add(
            line,
            f"{','.join(row)!r} is no price row",
            "write service,zone,weight,cents; cents whole, or empty where no price is known",
        )
        return None
