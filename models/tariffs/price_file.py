"""The price file of a tariff: one CSV row per service, zone and weight; lines before the header begin with #.

The columns stand in any order. `class`, for prices by size, and of learned prices `interval_cents` and `miss_cents` may
be left out.

Such a line marks prices that were learned from bills, so that their error can be shown wherever they are used.
"""

import csv
import io
import re
from collections.abc import Mapping
from datetime import date
from decimal import Decimal, InvalidOperation
from itertools import takewhile

from models.tariffs.reading import Notes, Section
from models.tariffs.rules import MILLI, Price

PRICE_HEADER = ["service", "zone", "up_to_weight", "price_cents"]
LEARNED_HEADER = [*PRICE_HEADER, "interval_cents", "miss_cents"]
_KNOWN = {*LEARNED_HEADER, "class"}
_LEARNED = re.compile(r"# learned from bills of parcels shipped (\S+) to (\S+) in (\w+)")


def learned_mark(first: date, last: date, weight_unit: str) -> str:
    """The first line of a price file that was learned from the bills of these days of shipping."""
    return f"# learned from bills of parcels shipped {first} to {last} in {weight_unit}"


def learned_days(top: Section, prices_file: str, text: str | None) -> tuple[date | None, date | None]:
    """First and last day of shipping that the prices were learned from; None and None for published ones.

    Days that are none, and weights in another unit than the tariff's, become findings.
    """
    found = _LEARNED.search("".join(takewhile(lambda line: line.startswith("#"), (text or "").splitlines())))
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
            top.wrong(
                "prices", f"= {prices_file} does not exist", "put the file beside the tariff, or correct the name"
            )
        return ()
    notes = Notes(prices_file)
    rows = list(enumerate(csv.reader(io.StringIO(text)), 1))
    while rows and rows[0][1][:1] and rows[0][1][0].startswith("#"):
        rows.pop(0)
    header = rows[0][1] if rows else []
    if not (set(PRICE_HEADER) <= set(header) <= _KNOWN) or len(header) != len(set(header)):
        number = rows[0][0] if rows else 1
        notes.add(number, f"the header is not {','.join(PRICE_HEADER)}", "correct that line")
        rows = []
    found = [_price(header, row, number, notes) for number, row in rows[1:] if row]
    top.notes.findings += notes.findings
    return tuple(price for price in found if price)


def _price(header: list[str], row: list[str], line: int, notes: Notes) -> Price | None:
    try:
        return _read(dict(zip(header, row, strict=True)), line)
    except (ValueError, InvalidOperation):
        notes.add(
            line,
            f"{','.join(row)!r} is no price row",
            "write service,zone,weight,cents; cents whole, or empty where no price is known",
        )
        return None


def _read(cells: Mapping[str, str], line: int) -> Price:
    """One price row. Raises ValueError or InvalidOperation for a cell that cannot stand."""
    milli = Decimal(cells["up_to_weight"]) * MILLI
    amounts = [
        int(cells[name]) if cells.get(name) else None for name in ("price_cents", "miss_cents", "interval_cents")
    ]
    if milli % 1 or milli <= 0 or min(each or 0 for each in amounts) < 0 or not cells["service"] or not cells["zone"]:
        raise ValueError
    cents, miss, interval = amounts
    return Price(cells["service"], cells["zone"], int(milli), cents, line, cells.get("class", ""), miss, interval)
