"""The files of a layout: an invented shop's sales, parcels and bills, written as the layout says."""

from __future__ import annotations

import csv
import io
import random
from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime, timedelta
from typing import Any

from tests.pipelines.intake.layouts import Header, Layout

Row = dict[str, Any]

# Sides in inches as packed, pounds, price in cents. Common practice, no source.
_GOODS = {
    "optical tube": (47.0, 11.0, 11.0, 14.2, 42900),
    "tripod": (39.5, 7.5, 7.0, 11.4, 18900),
    "mount": (17.0, 12.5, 9.0, 22.8, 31500),
    "rocker base": (26.0, 24.0, 6.5, 18.5, 15900),
    "eyepiece": (6.0, 4.5, 4.0, 0.9, 4950),
}
_PER_POUND = {"lb": 1.0, "kg": 0.45359237, "g": 453.59237, "oz": 16.0}
_PER_INCH = {"in": 1.0, "cm": 2.54, "mm": 25.4}
_KINDS = {
    "en": {"base": "base", "fuel": "fuel", "surcharge": "surcharge", "tax": "tax"},
    "de": {"base": "Grundfracht", "fuel": "Treibstoff", "surcharge": "Zuschlag", "tax": "Steuer"},
    "fr": {"base": "fret de base", "fuel": "carburant", "surcharge": "supplément", "tax": "taxe"},
    "es": {"base": "flete base", "fuel": "combustible", "surcharge": "recargo", "tax": "impuesto"},
    "it": {"base": "nolo base", "fuel": "carburante", "surcharge": "supplemento", "tax": "imposta"},
    "pt": {"base": "frete base", "fuel": "combustível", "surcharge": "sobretaxa", "tax": "imposto"},
}
_YES_NO = {
    "en": ("yes", "no"),
    "de": ("ja", "nein"),
    "fr": ("oui", "non"),
    "es": ("sí", "no"),
    "it": ("sì", "no"),
    "pt": ("sim", "não"),
}
_FORMS = {"d.m.Y": "%d.%m.%Y", "d/m/Y": "%d/%m/%Y", "m/d/Y": "%m/%d/%Y", "Y-m-d": "%Y-%m-%d"}
_TOWNS = ("Altenau", "Brookmere", "Castelvento", "Dunesk")
_PEOPLE = ("Ada Fenwick", "Jonas Albrecht", "Livia Corti", "Marta Quintal", "Odile Garnier")
_STREETS = ("Mill Lane 4", "Hauptstr. 12", "Via Nuova 7", "12 rue du Pont")


def rendered(layout: Layout, orders: int = 120) -> dict[str, bytes]:
    """The layout's files by name (`orders.csv`); a layout of one file has the name of the layout."""
    rows = list(_rows(layout, orders))
    return {f"{part or layout.name}.csv": _file(layout, part, headers, rows) for part, headers in layout.files.items()}


def _file(layout: Layout, part: str, headers: Sequence[Header], rows: Sequence[Row]) -> bytes:
    text = io.StringIO(newline="")
    writer = csv.writer(text, delimiter=layout.delimiter, lineterminator="\r\n")
    writer.writerow([header.text for header in headers])
    seen: set[Any] = set()
    for row in rows:
        key = row[{"orders": "sale_id", "products": "sku"}.get(part, "key")]
        if key in seen:
            continue
        seen.add(key)
        writer.writerow([_cell(layout, header, row) for header in headers])
    return text.getvalue().encode("utf-8")


def _cell(layout: Layout, header: Header, row: Mapping[str, Any]) -> str:
    value = row[header.shown]
    if value is None:
        return ""
    if isinstance(value, bool):
        return _YES_NO[layout.language][not value]
    if header.shown.endswith("_cents") or "_cents_" in header.shown or header.shown == "line_total":
        return f"{value / 100:.2f}".replace(".", layout.decimal)
    if header.unit is not None:
        per = (_PER_POUND | _PER_INCH)[header.unit]
        figures = 0 if header.unit in ("g", "mm") else 2 if header.unit in _PER_POUND else 1
        return f"{value * per:.{figures}f}".replace(".", layout.decimal)
    if isinstance(value, datetime):
        return _moment(layout, header, value)
    return str(value)


def _moment(layout: Layout, header: Header, value: datetime) -> str:
    day, _, time = layout.dates.partition(" ")
    form = _FORMS[day] + (" %H:%M" if time and header.shown == "sold_at" else "")
    return value.strftime(form)


def _rows(layout: Layout, orders: int) -> Iterator[Row]:
    chance = random.Random(layout.name)
    makers = {"sales": _sale, "weights": _parcel, "charges": _bill}
    if layout.kind in makers:
        for number in range(orders):
            yield from makers[layout.kind](layout, chance, number)
    else:
        yield from _products(chance, stocked=layout.kind == "skus")


def _products(chance: random.Random, *, stocked: bool) -> Iterator[Row]:
    for goods, (length, width, height, pounds, price) in _GOODS.items():
        for variant in range(20 if stocked else 1):
            sku = f"{goods[:3].upper()}-{variant:04d}"
            row: Row = {"sku": sku, "item_type": goods, "title": f"{goods}, model {variant}", "country": "PT"}
            row |= {"length_in": length, "width_in": width, "height_in": height, "weight_lb": pounds}
            yield row | {"key": sku, "is_fragile": chance.random() < 0.5, "item_cost_cents": price // 2}


def _sale(layout: Layout, chance: random.Random, number: int) -> Iterator[Row]:
    sold = datetime(2026, 9, 1, 8) + timedelta(minutes=chance.randrange(60 * 24 * 45))
    lines = 1 if not _has(layout, "line_number") else chance.choice((1, 1, 1, 2, 3))
    order: Row = {
        "sale_id": f"S-{20417 + number}",
        "sold_at": sold,
        "channel": chance.choice(("web shop", "counter", "marketplace")),
        "shipping_charged_cents_order": chance.choice((0, 990, 1490, 2450)),
        "destination_prefix": f"{chance.randrange(10000, 99999)}",
        **_persons(chance),
    }
    for line in range(1, lines + 1):
        goods = chance.choice(list(_GOODS))
        price = _GOODS[goods][4] - chance.randrange(0, 900)
        quantity = chance.choice((1, 1, 1, 1, 2, 3))
        shipping = order["shipping_charged_cents_order"] if line == 1 else 0
        variant = chance.randrange(20)
        yield order | {
            "key": (number, line),
            "line_number": line,
            "item_type": goods,
            "sku": f"{goods[:3].upper()}-{variant:04d}",
            "title": f"{goods}, model {variant}",
            "quantity": quantity,
            "item_price_cents": price,
            "line_total": price * quantity,
            "shipping_charged_cents": shipping,
            "shipping_charged_cents_first": shipping,
            "marketplace_fee_cents": price * quantity * 12 // 100,
            "tax_rate": "19",
        }


def _persons(chance: random.Random) -> Row:
    buyer = chance.choice(_PEOPLE)
    return {
        "buyer": buyer,
        "street": chance.choice(_STREETS),
        "town": chance.choice(_TOWNS),
        "phone": f"+00 555 {chance.randrange(100000, 999999)}",
        "email": f"{buyer.split()[0].lower()}@post.example",
        "status": chance.choice(("closed", "open")),
        "currency": "EUR",
        "payment": chance.choice(("card", "transfer")),
        "remark": chance.choice(("", "", "corner dented")),
        "centre": chance.choice(("C10", "C20")),
    }


def _has(layout: Layout, column: str) -> bool:
    return any(header.column == column for headers in layout.files.values() for header in headers)


def _parcel(layout: Layout, chance: random.Random, number: int) -> Iterator[Row]:
    goods = chance.choice(list(_GOODS))
    length, width, height, pounds, _ = _GOODS[goods]
    yield _persons(chance) | {
        "key": number,
        "parcel_id": f"NL{40017733 + number * 7}",
        "sale_id": f"S-{20417 + number}",
        "line_number": chance.choice((1, 1, 1, 2)),
        "packed_quantity": chance.choice((1, 1, 1, 2)),
        "shipped_on": datetime(2026, 9, 2) + timedelta(days=number * 40 // 120),
        "carrier": chance.choice(("Northline", "Haverpost")),
        "service": chance.choice(("ground", "express")),
        "zone": chance.randrange(2, 9),
        "scale_weight_lb": pounds * chance.uniform(1.05, 1.3),
        "length_in": length + chance.uniform(1, 3),
        "width_in": width + chance.uniform(1, 2),
        "height_in": height + chance.uniform(0.2, 0.9),
        "carton_code": f"C-{int(length):02d}",
        "packing_method": chance.choice(("foam", "paper", "corner blocks")),
        "packer": chance.choice(("B1", "B2")),
        "pack_minutes": round(chance.uniform(4, 16), 1) if layout.decimal == "." else chance.randrange(4, 16),
    }


def _bill(layout: Layout, chance: random.Random, number: int) -> Iterator[Row]:
    parcel = next(_parcel(layout, chance, number))
    invoice = number // 30
    amount = chance.randrange(900, 4200)
    charges = [("Carriage", "base", amount), ("Fuel 12 %", "fuel", amount * 12 // 100)]
    if chance.random() < 0.3:
        charges.append(("Long side", "surcharge", 1850))
    for at, (code, kind, cents) in enumerate(charges):
        yield parcel | {
            "key": (number, at),
            "invoice_number": f"NL-2026-{invoice + 31}",
            "line_number": (number % 30) * 3 + at + 1,
            "invoiced_on": datetime(2026, 9, 14) + timedelta(days=invoice * 14),
            "due": datetime(2026, 10, 14) + timedelta(days=invoice * 14),
            "charge_code": code,
            "charge_kind": _KINDS[layout.language][kind],
            "amount_cents": cents,
            "billed_weight_lb": float(round(parcel["scale_weight_lb"] + 3)),
            **{f"billed_{side}": parcel[side] for side in ("length_in", "width_in", "height_in")},
        }
