"""Shops like nobody's, made by one who did not look at the program, each with a ledger in plain Python.

Nothing here is drawn: what happens to the nth parcel follows from n.
"""

from __future__ import annotations

import contextlib
import io
from collections import Counter
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path
from typing import Any

from pipelines.cli import main
from tests.odd_shops.ledger import Ledger, Row, write

CARRIER, SERVICE = "Gannet", "ground"
RULES = """\
tariff_code = "{code}"
carrier = "{carrier}"
source = "Invented for this test"
effective_from = {start}
{end}currency = "{currency}"
length_unit = "cm"
weight_unit = "kg"
prices = "{code}.csv"
dispute_days = 60
dispute_from = "invoiced_on"
claim_days = 90

[[services]]
service = "{service}"
side_rounding = "up"
divisor = 5000.0
divisor_above_volume = 0.0
non_rectangular_factor = 1.0
weight_step = 1.0
minimum_weight = 1.0
limits = {{ longest_side = 300.0, scale_weight = 90.0 }}
"""
Price = Callable[[str, int], int]


def monday_after(day: date) -> date:
    """The day on which a weekly invoice is dated."""
    return day + timedelta(days=7 - day.weekday())


def _started(folder: Path, name: str, currency: str, *more: str) -> None:
    words = ("--name", name, "--currency", currency, "--time-zone", "UTC", *more)
    assert main(["init", str(folder), *words]) == 0


def _tariff(folder: Path, code: str, start: date, end: date | None, currency: str, price: Price) -> None:
    until = f"effective_to = {end}\n" if end else ""
    known = {"code": code, "start": start, "end": until, "currency": currency, "carrier": CARRIER, "service": SERVICE}
    (folder / "tariffs" / f"{code}.toml").write_text(RULES.format(**known), encoding="utf-8")
    prices = [f"{SERVICE},{zone},{kg},{price(zone, kg)}" for zone in "123" for kg in range(1, 31)]
    rows = ["service,zone,up_to_weight,price_cents", *prices]
    (folder / "tariffs" / f"{code}.csv").write_text("\n".join(rows) + "\n", encoding="utf-8")


def _sale(number: int, day: date, item: str, cents: int, charged: int, **more: Any) -> Row:
    head = {"sale_id": f"S{number}", "line_number": 1, "sold_at": f"{day} 08:00:00", "channel": "own site"}
    return {
        **head,
        "item_type": item,
        "quantity": 1,
        "item_price_cents": cents,
        "shipping_charged_cents": charged,
        **more,
    }


def _packed(number: int, parcel: str, day: date, zone: str, kg: int, **more: Any) -> Row:
    head = {"parcel_id": parcel, "sale_id": f"S{number}", "line_number": 1, "packed_quantity": 1, "shipped_on": day}
    size = {"length_cm": 30, "width_cm": 20, "height_cm": 10, "scale_weight_kg": kg - 0.5, "is_rectangular": "yes"}
    return {**head, "carrier": CARRIER, "service": SERVICE, "zone": zone, **size, **more}


class Invoices:
    """A carrier's lines, numbered within each invoice."""

    def __init__(self) -> None:
        self.rows: list[Row] = []
        self.counted: Counter[str] = Counter()

    def add(self, invoice: str, dated: date, cents: int, parcel: str = "", kind: str = "base", **more: Any) -> None:
        self.counted[invoice] += 1
        head = {"carrier": CARRIER, "invoice_number": invoice, "line_number": self.counted[invoice]}
        rest = {"invoiced_on": dated, "parcel_id": parcel, "charge_code": kind.upper(), "charge_kind": kind}
        self.rows.append({**head, **rest, "amount_cents": cents, "service": SERVICE if parcel else "", **more})


def lanterns(folder: Path) -> Ledger:
    """Yen. Sales on two days a month; every ninth order in three parcels; some shipping given back; weekly invoices."""
    _started(folder, "Kelp Lanterns", "JPY", "--wage", "1200", "--units", "metric")

    def price(zone: str, kg: int) -> int:
        return 600 + 80 * kg + 150 * int(zone)

    _tariff(folder, "gannet-a", date(2026, 1, 1), None, "JPY", price)
    books, sales, bench, bills = Ledger(date(2026, 9, 1), has_cents=False), [], [], Invoices()
    days = [date(2026, month, day) for month in range(5, 11) for day in (1, 28)]
    for number, sold in enumerate((day for day in days for _ in range(22)), start=1):
        item, pieces = ("float", "lantern")[number % 2], 3 if number % 9 == 0 else 1
        back = 600 if number % 11 == 0 else 0
        money = {"shipping_refunded_cents": back, "sale_state": "returned"} if back else {}
        sales.append(_sale(number, sold, item, 8_000 * pieces, 1_500 * pieces, quantity=pieces, **money))
        for piece in range(pieces):
            day, zone, kg = sold + timedelta(days=1 + (number + piece) % 4), str(1 + number % 3), 2 + number % 3
            parcel, dated = f"G{number}-{piece}", monday_after(day)
            bench.append(_packed(number, parcel, day, zone, kg))
            known: Row = {"shipped_on": day, "zone": zone, "billed_weight_kg": kg}
            bills.add(f"W{dated:%m%d}", dated, price(zone, kg), parcel, **known)
            books.add(day, item, zone, parcels=1, charged=1_500, refunded=back // pieces, billed=price(zone, kg))
    for kind, rows in (("sales", sales), ("weights", bench), ("charges", bills.rows)):
        write(folder, kind, rows)
    return books


def ladders(folder: Path) -> Ledger:
    """Two tariffs at a year's end; credits larger than their charge; labels never used; a file under two names."""
    _started(folder, "Ledge Ladders", "USD", "--wage", "0", "--units", "metric")

    def price(zone: str, kg: int) -> int:
        return 700 + 60 * kg + 100 * int(zone)

    def raised(zone: str, kg: int) -> int:
        return round(price(zone, kg) * 1.06)

    _tariff(folder, "gannet-25", date(2025, 1, 1), date(2025, 12, 31), "USD", price)
    _tariff(folder, "gannet-26", date(2026, 1, 1), None, "USD", raised)
    books, sales, bench, bills, labels = Ledger(date(2026, 1, 1)), [], [], Invoices(), []
    months = [date(2025, 10, 1), date(2025, 11, 1), date(2025, 12, 1), date(2026, 1, 1), date(2026, 2, 1)]
    for number, (at, month) in enumerate(((at, month) for month in months for at in range(40)), start=1):
        day, zone, kg, item = month + timedelta(days=at * 27 // 40), str(1 + number % 3), 3 + number % 4, "step"
        item, parcel, dated = ("ladder", "step")[number % 2], f"LD{number}", (month + timedelta(days=35)).replace(day=6)
        cents = (price if day.year == 2025 else raised)(zone, kg)
        sales.append(_sale(number, day, item, 9_000, 1_400, parcel_id=parcel))
        bench.append(_packed(number, parcel, day, zone, kg))
        known: Row = {"shipped_on": day, "zone": zone, "billed_weight_kg": kg}
        bills.add(f"N{day:%Y%m}", dated, cents, parcel, **known)
        back = cents + 1_500 if number % 37 == 5 else 0
        if back:
            bills.add(f"N{day:%Y%m}", dated, -back, parcel, "credit", shipped_on=day, zone=zone)
        books.add(day, item, zone, parcels=1, charged=1_400, billed=cents - back)
        bought = {"carrier": CARRIER, "service": SERVICE, "zone": zone, "bought_on": day, "quoted_cents": cents}
        labels.append({"parcel_id": parcel, "sale_id": f"S{number}", **bought})
        labels += [{"parcel_id": f"{parcel}X", **bought}] if number % 25 == 0 else []
    for kind, rows in (("sales", sales), ("weights", bench), ("charges", bills.rows), ("labels", labels)):
        write(folder, kind, rows)
    write(folder, "charges", bills.rows, "template-charges-again.csv")
    return books


def flags(folder: Path) -> Ledger:
    """Fees of a marketplace on shipping; numbered invoices, of which one never came; neither bench log nor tariff."""
    _started(folder, "Stall Flags", "USD", "--wage", "0", "--units", "inch")
    books, sales, bills = Ledger(date(2026, 10, 1)), [], Invoices()
    for number, (at, month) in enumerate(((at, month) for month in range(5, 11) for at in range(55)), start=1):
        day, zone, item = (
            date(2026, month, 1 + at * 27 // 55),
            str(1 + number % 3),
            ("flag", "pole", "rope")[number % 3],
        )
        money = {"marketplace_fee_cents": 520, "is_fee_on_shipping": "yes", "parcel_id": f"ST{number}"}
        sales.append(_sale(number, day, item, 4_000, 1_200, **money))
        dated, cents = monday_after(day), 800 + 50 * (number % 7)
        if int(f"{dated:%W}") != 43:
            bills.add(f"{int(f'{dated:%W}'):04d}", dated, cents, f"ST{number}", shipped_on=day, zone=zone)
            fee = round(520 * 1_200 / 5_200)
            books.add(day, item, zone, parcels=1, charged=1_200, fee=fee, billed=cents)
    write(folder, "sales", sales)
    write(folder, "charges", bills.rows)
    return books


def bells(folder: Path) -> Ledger:
    """Goods named in other alphabets; an account fee on every invoice; corrections months later; claims paid in
    part; the same rows in a second file in another order."""
    _started(folder, "Колокол и 鈴", "EUR", "--wage", "0", "--units", "metric")
    books, sales, bench, bills, claims = Ledger(date(2026, 8, 1)), [], [], Invoices(), []
    for number, (at, month) in enumerate(((at, month) for month in range(4, 10) for at in range(33)), start=1):
        day, zone, kg = date(2026, month, 1 + at * 27 // 33), ("Nord", "Süd")[number % 2], 2 + number % 3
        item, parcel = ("колокол", "風鈴", "κουδούνι")[number % 3], f"BÉ-{number}"
        charged = 0 if number % 8 == 0 else 1_190
        sales.append(_sale(number, day, item, 7_500, charged))
        bench.append(_packed(number, parcel, day, zone, kg))
        invoice, dated = f"R{month}", date(2026, month + 1, 2)
        late = 310 if number % 29 == 4 else 0
        known: Row = {"shipped_on": day, "zone": zone}
        bills.add(invoice, dated, 640 + 70 * kg, parcel, billed_weight_kg=kg, **known)
        if late:
            bills.add(
                f"R{min(month + 2, 9)}", date(2026, min(month + 2, 9) + 1, 2), late, parcel, "adjustment", **known
            )
        lost, paid = (7_500, 2_500) if number % 41 == 7 else (0, 0)
        if lost:
            claims.append(_claim(number, parcel, day, lost, paid))
        books.add(day, item, zone, parcels=1, charged=charged, billed=640 + 70 * kg + late, damage=lost - paid)
    for month in range(4, 10):
        bills.add(f"R{month}", date(2026, month + 1, 2), 450, "", "surcharge")
        books.add(date(2026, month + 1, 2), billed=450, surcharge=450)
    for kind, rows in (("sales", sales), ("weights", bench), ("charges", bills.rows), ("claims", claims)):
        write(folder, kind, rows)
    write(folder, "sales", sales[::-1], "template-sales-once-more.csv")
    return books


def _claim(number: int, parcel: str, day: date, lost: int, paid: int) -> Row:
    head = {"claim_id": f"C{number}", "parcel_id": parcel, "claim_cause": "damage", "claim_state": "paid"}
    days = {"opened_on": day + timedelta(days=6), "decided_on": day + timedelta(days=20)}
    return {**head, **days, "claimed_cents": lost, "refund_cents": lost, "paid_cents": paid}


def pots(folder: Path) -> Ledger:
    """Cancelled sales with a label that was used anyway, replacements in a second parcel, credits of whole months, and
    sales of which one in five never left: known by sales and bills alone, two parcels a day."""
    _started(folder, "Pots", "USD", "--wage", "0", "--units", "inch")
    books, sales, bills = Ledger(date(2026, 7, 1)), [], Invoices()
    for number, (at, month) in enumerate(((at, month) for month in range(3, 9) for at in range(60)), start=1):
        day, zone, item = date(2026, month, 1 + at // 2 % 28), str(1 + number % 3), ("bowl", "jar")[number % 2]
        is_cancelled, is_sent, parcel = number % 17 == 0, number % 5 != 0, f"PT{number}"
        state = {"sale_state": "cancelled"} if is_cancelled else {}
        sales.append(_sale(number, day, item, 3_000, 990, **state, **({"parcel_id": parcel} if is_sent else {})))
        if is_sent:
            dated, cents = monday_after(day), 700 + 40 * (number % 5)
            bills.add(f"P{dated:%m%d}", dated, cents, parcel, shipped_on=day, zone=zone)
            books.add(day, item, zone, parcels=1, charged=0 if is_cancelled else 990, billed=cents)
    write(folder, "sales", sales)
    write(folder, "charges", bills.rows)
    return books


OUTSIDERS = {made.__name__: made for made in (lanterns, ladders, flags, bells, pots)}


def reviewed(folder: Path, make: Callable[[Path], Ledger]) -> Ledger:
    """The shop made in the folder, imported and reviewed; the letter lies beside the page."""
    with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()):
        books = make(folder)
        assert main(["--shop", str(folder), "intake"]) == 0
        assert main(["--shop", str(folder), "send", f"{books.month:%Y-%m}", "--dry-run"]) == 0
    return books
