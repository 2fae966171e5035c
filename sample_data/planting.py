"""Planted errors of the carriers: which parcels, what was billed wrong, and what the record of it is."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np

from sample_data import billing, shop
from sample_data.billing import ChargeLine
from sample_data.literal_rating import Rated, Tariff, tariff_on
from sample_data.packing import Packed, Sides

# Corvane took fuel on surcharges too, in this week; its tariff takes it on the base alone.
FUEL_WEEK = (dt.date(2026, 6, 8), dt.date(2026, 6, 13))
# Northline's invoice of the last two days has not come.
NOT_YET_BILLED_FROM = dt.date(2026, 10, 30)
LAST_FAULT_ON = dt.date(2026, 9, 15)
# How many of each at 6,000 parcels.
COUNTS = {
    "wrong_long_side": 20, "wrong_residential": 12, "wrong_remote": 8, "wrong_zone": 10,
    "bulge_billed": 12, "wrong_size_billed": 8, "bulge_adjusted": 18, "wrong_size_adjusted": 12,
    "no_cause": 8, "address_fix": 12, "service_credit": 12, "duplicate": 15,
}  # fmt: skip
CREDITED_BACK = 10
SURCHARGES = {"wrong_long_side": "long side", "wrong_residential": "residential", "wrong_remote": "remote area"}


@dataclass
class Billing:
    """All charge lines, and the truth about those that are wrong: topic -> rows."""

    tariffs: list[Tariff]
    lines: list[ChargeLine] = field(default_factory=list)
    truth: dict[str, list[dict[str, Any]]] = field(default_factory=dict)

    def note(self, topic: str, **facts: Any) -> None:
        """Record one planted fact."""
        self.truth.setdefault(topic, []).append(facts)

    def tariff(self, parcel: Packed) -> Tariff:
        """The tariff of the parcel's day."""
        found = tariff_on(self.tariffs, parcel.carrier, parcel.shipped_on)
        if found is None:
            raise ValueError(f"no tariff for {parcel.carrier} on {parcel.shipped_on}")
        return found


def bill(rng: np.random.Generator, parcels: list[Packed], tariffs: list[Tariff]) -> Billing:
    """Invoices of every parcel, with the planted errors. Marks bulging parcels by lowering their logged sides."""
    book = Billing(tariffs)
    victims = choose_victims(rng, parcels)
    for parcel in parcels:
        if parcel.carrier == "Northline" and parcel.shipped_on >= NOT_YET_BILLED_FROM:
            book.note("not_yet_billed", parcel_id=parcel.parcel_id)
            continue
        topic = victims.get(parcel.parcel_id, "")
        rated, zone = _bill_one(rng, book, parcel, topic)
        book.lines += billing.charge_lines_of(parcel, rated, zone)
    add_credits_back(rng, book)
    book.lines += billing.account_fees(book.lines)
    book.lines = billing.numbered(book.lines, lambda line: (line.invoiced_on, line.carrier, line.parcel_id or "~"))
    add_duplicates(rng, book)
    return book


def choose_victims(rng: np.random.Generator, parcels: list[Packed]) -> dict[str, str]:
    """Parcel -> what is planted on it; no parcel twice. Only parcels whose bench log is complete."""
    complete = [
        parcel
        for parcel in parcels
        if parcel.has_log and parcel.logged_sides_in and parcel.logged_weight_lb and parcel.shipped_on <= LAST_FAULT_ON
        and not FUEL_WEEK[0] <= parcel.shipped_on <= FUEL_WEEK[1]
    ]  # fmt: skip
    shuffled = [complete[n] for n in rng.permutation(len(complete)).tolist()]
    victims: dict[str, str] = {}
    for topic in COUNTS:
        if topic == "duplicate":
            continue
        wanted = scaled(topic, len(parcels))
        fitting = (each for each in shuffled if each.parcel_id not in victims and SUITS.get(topic, _any)(each))
        victims |= {parcel.parcel_id: topic for parcel, _ in zip(fitting, range(wanted), strict=False)}
    return victims


def scaled(topic: str, parcels: int) -> int:
    """How many of a topic to plant among so many parcels."""
    return max(1, round(COUNTS[topic] * parcels / shop.PARCELS))


def _any(parcel: Packed) -> bool:
    return True


def _is_ground(parcel: Packed) -> bool:
    return parcel.service == "ground"


def _is_small(parcel: Packed) -> bool:
    longest, second, third = parcel.true_sides_in
    return _is_ground(parcel) and longest < 46 and longest + 2 * (second + third) < 100 and parcel.true_weight_lb < 50


def _can_bulge(parcel: Packed) -> bool:
    """Where an inch more costs money: the sides and not the scale decide the weight."""
    longest, second, shortest = parcel.true_sides_in
    return (
        _is_ground(parcel) and parcel.is_rectangular and longest * second * shortest / 139 > parcel.true_weight_lb + 1
    )


SUITS: dict[str, Callable[[Packed], bool]] = {
    "wrong_long_side": _is_small,
    "wrong_residential": lambda parcel: _is_ground(parcel) and not parcel.is_residential,
    "wrong_remote": lambda parcel: _is_ground(parcel) and parcel.sale.destination_prefix not in shop.REMOTE,
    "wrong_zone": lambda parcel: _is_ground(parcel) and int(parcel.zone) <= 5,
    "bulge_billed": _can_bulge,
    "bulge_adjusted": _can_bulge,
    "wrong_size_billed": _can_bulge,
    "wrong_size_adjusted": _can_bulge,
    "no_cause": _is_ground,
    "address_fix": _is_ground,
    "service_credit": lambda parcel: parcel.service == "express",
}


def _bill_one(rng: np.random.Generator, book: Billing, parcel: Packed, topic: str) -> tuple[Rated, str]:
    """The parcel as invoiced, and the zone billed where it is not the parcel's own."""
    tariff = book.tariff(parcel)
    fair = billing.rated_or_fail(billing.facts(parcel), tariff)
    if topic in SURCHARGES:
        return _wrong_surcharge(book, parcel, topic, fair), ""
    if topic == "wrong_zone":
        zone = str(int(parcel.zone) + 2)
        billed = billing.rated_or_fail(billing.facts(parcel, zone=zone), tariff)
        over = billed.total_cents - fair.total_cents
        book.note("wrong_zone", parcel_id=parcel.parcel_id, zone=parcel.zone, billed_zone=zone, overcharge_cents=over)
        return billed, zone
    if parcel.carrier == "Corvane" and FUEL_WEEK[0] <= parcel.shipped_on <= FUEL_WEEK[1]:
        billed = billing.with_fuel_on(billing.facts(parcel), tariff, ["base", "surcharge"])
        over = billed.total_cents - fair.total_cents
        book.note("fuel_on_wrong_base", parcel_id=parcel.parcel_id, overcharge_cents=over)
        return billed, ""
    if "bulge" in topic or "wrong_size" in topic:
        return _measured_again(rng, book, parcel, topic, fair), ""
    _adjust_without_size(rng, book, parcel, topic, fair)
    return fair, ""


def _wrong_surcharge(book: Billing, parcel: Packed, topic: str, fair: Rated) -> Rated:
    billed = billing.with_surcharge(billing.facts(parcel), book.tariff(parcel), SURCHARGES[topic])
    book.note(
        "wrong_surcharge",
        parcel_id=parcel.parcel_id,
        surcharge=SURCHARGES[topic],
        overcharge_cents=billed.total_cents - fair.total_cents,
    )
    return billed


def _measured_again(rng: np.random.Generator, book: Billing, parcel: Packed, topic: str, fair: Rated) -> Rated:
    """A bulge was real and the bench wrote less; or the carrier's measuring was wrong and the bench is right."""
    grown = float(rng.choice([1.0, 1.25, 1.5])) if "bulge" in topic else float(rng.choice([3.0, 4.0, 5.0]))
    longest, second, shortest = parcel.true_sides_in
    larger: Sides = (
        (longest, second + grown, shortest) if second + grown <= longest else (longest + grown, second, shortest)
    )
    billed = billing.rated_or_fail(billing.facts(parcel, sides_in=larger), book.tariff(parcel))
    extra = billed.total_cents - fair.total_cents
    if "bulge" in topic:
        parcel.true_sides_in = larger
    book.note(
        "measured_again",
        parcel_id=parcel.parcel_id,
        is_real_bulge="bulge" in topic,
        is_adjustment="adjusted" in topic,
        extra_cents=extra,
    )
    if "billed" in topic:
        return billed
    if extra:
        line = _adjustment(rng, book, parcel, "ADJUST SIZE", extra)
        line.billed_weight, line.billed_sides = float(billed.billed_weight), billing.plain_sides(billed.sides)
    return fair


def _adjust_without_size(rng: np.random.Generator, book: Billing, parcel: Packed, topic: str, fair: Rated) -> None:
    if topic == "no_cause":
        _adjustment(rng, book, parcel, "ADJUSTMENT", int(rng.integers(5, 30)) * 50)
    elif topic == "address_fix":
        _adjustment(rng, book, parcel, "ADDRESS FIX", 1425)
    elif topic == "service_credit":
        base = sum(line.amount_cents for line in fair.lines if line.kind == "base")
        _adjustment(rng, book, parcel, "SERVICE CREDIT", -base)


def _adjustment(rng: np.random.Generator, book: Billing, parcel: Packed, code: str, cents: int) -> ChargeLine:
    """A line on an invoice two to eight weeks after the parcel's own."""
    later = min(parcel.shipped_on + dt.timedelta(days=int(rng.integers(14, 57))), dt.date(2026, 10, 28))
    number, invoiced_on = billing.invoice_of(parcel.carrier, later)
    line = ChargeLine(
        parcel.carrier, number, invoiced_on, code, cents, parcel.parcel_id, parcel.sale.sale_id, parcel.shipped_on
    )  # fmt: skip
    book.lines.append(line)
    book.note("later_lines", parcel_id=parcel.parcel_id, charge_code=code, amount_cents=cents, invoice_number=number)
    return line


def add_credits_back(rng: np.random.Generator, book: Billing) -> None:
    """Some of the wrong surcharges were corrected by the carrier itself: a negative adjustment."""
    wrong = book.truth.get("wrong_surcharge", [])
    put_right = set(rng.permutation(len(wrong))[: len(wrong) * CREDITED_BACK // 40].tolist())
    first_lines = {line.parcel_id: line for line in reversed(book.lines) if line.shipped_on and line.service}
    for position, row in enumerate(wrong):
        row["is_credited_back"] = position in put_right
        if row["is_credited_back"]:
            line = first_lines[row["parcel_id"]]
            number, invoiced_on = billing.invoice_of(line.carrier, line.invoiced_on + dt.timedelta(days=18))
            cents = -row["overcharge_cents"]
            book.lines.append(replace(
                line, invoice_number=number, invoiced_on=invoiced_on, charge_code="ADJUSTMENT", amount_cents=cents,
                service=None, zone=None, billed_weight=None, billed_sides=None,
            ))  # fmt: skip
            book.note("later_lines", parcel_id=line.parcel_id, charge_code="ADJUSTMENT", amount_cents=cents,
                      invoice_number=number)  # fmt: skip


def add_duplicates(rng: np.random.Generator, book: Billing) -> None:
    """The same line again at the end of its invoice, under another line number."""
    touched = {row["parcel_id"] for rows in book.truth.values() for row in rows}
    plain = [line for line in book.lines if line.service and line.parcel_id not in touched]
    wanted = scaled("duplicate", len({line.parcel_id for line in book.lines}))
    last = {line.invoice_number: line.line_number for line in book.lines}
    positive = [line for line in plain if line.amount_cents > 0]
    for pick in sorted(rng.choice(len(positive), size=wanted, replace=False).tolist()):
        line = positive[pick]
        last[line.invoice_number] += 1
        again = replace(line, line_number=last[line.invoice_number])
        book.lines.append(again)
        book.note("duplicate_lines", carrier=line.carrier, invoice_number=line.invoice_number, parcel_id=line.parcel_id,
                  line_number=again.line_number, same_as=line.line_number, amount_cents=line.amount_cents)  # fmt: skip
    book.lines.sort(key=lambda line: (line.invoiced_on, line.carrier, line.invoice_number, line.line_number))
