"""The price file of a tariff: one CSV row per service, zone and weight."""

from __future__ import annotations

import csv
import io
from decimal import Decimal, InvalidOperation

from models.tariffs.reading import Notes, Section
from models.tariffs.rules import MILLI, Price

PRICE_HEADER = ["service", "zone", "up_to_weight", "price_cents"]


def prices(top: Section, prices_file: str, text: str | None) -> tuple[Price, ...]:
    """The price rows; what is wrong with the file or a row becomes a finding."""
    if text is None:
        if prices_file:
            top.wrong("prices", f"= {prices_file} does not exist", "put the file beside the tariff, or mend the name")
        return ()
    notes = Notes(prices_file)
    rows = list(csv.reader(io.StringIO(text)))
    if not rows or rows[0] != PRICE_HEADER:
        notes.add(1, f"the header is not {','.join(PRICE_HEADER)}", "mend the first line")
        rows = []
    found = [_price(row, number, notes) for number, row in enumerate(rows[1:], 2) if row]
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
