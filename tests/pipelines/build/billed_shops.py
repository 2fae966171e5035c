"""A shop that its carrier bills by a list with options, events, fuel and tax, rightly or with one planted fault."""

from __future__ import annotations

import random
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from sample_data import literal_rating
from sample_data.literal_amounts import half_up
from tests.models.tariffs.price_lists import prices_text
from tests.pipelines.build.billed_list import TEXT

FIRST, DAYS = date(2025, 2, 3), 330
NAMED = {"long side": "LONG", "oversize": "OVER", "home": "HOME", "far": "FAR", "dense": "DENSE"}
FAULTS = ("zone", "surcharge", "amount", "option", "event", "fuel", "tax", "twice")
Lines = list[tuple[str, int]]


@dataclass
class Billed:
    """The records of a generated shop, and the parcels that were billed too much, with the cents and the fault."""

    weights: list[dict[str, Any]] = field(default_factory=list)
    charges: list[dict[str, Any]] = field(default_factory=list)
    planted: dict[str, int] = field(default_factory=dict)
    faults: dict[str, str] = field(default_factory=dict)


def billed_shop(source: random.Random, count: int, fault_share: float) -> Billed:
    """So many parcels, of which about that share is billed too much by one of FAULTS."""
    tariff = literal_tariff()
    found = Billed()
    while len(found.weights) < count:
        parcel = drawn(source)
        rated = literal_rating.rate(parcel, tariff)
        if rated.reason:
            continue
        name = f"P{len(found.weights):05d}"
        lines = with_extras(source, right_lines(rated), parcel)
        zone = parcel.zone
        if source.random() < fault_share:
            before = sum(cents for _, cents in lines)
            fault = source.choice(FAULTS)
            lines, zone = faulty(source, fault, lines, parcel, tariff)
            over = sum(cents for _, cents in lines) - before
            if over > 1:
                found.planted[name] = over
                found.faults[name] = fault if fault in FAULTY or zone != parcel.zone else "amount"
            elif over:
                continue
        found.weights.append(bench_row(name, parcel))
        found.charges += [charge_row(name, parcel, rated, zone, line) for line in lines]
    return found


def literal_tariff(text: str = TEXT) -> literal_rating.Tariff:
    """The list as the literal reading takes it."""
    prices: dict[tuple[str, str], list[tuple[Decimal, int]]] = {}
    for line in prices_text().splitlines()[1:]:
        service, zone, weight, cents = line.split(",")
        prices.setdefault((service, zone), []).append((Decimal(weight), int(cents)))
    return literal_rating.Tariff(tomllib.loads(text, parse_float=Decimal), prices)


def drawn(source: random.Random) -> literal_rating.Parcel:
    """A parcel that the list mostly carries."""
    longest = source.choice([20.0, 47.5, 48.25, 59.0, 62.0])
    return literal_rating.Parcel(
        "plain",
        source.choice("23"),
        FIRST + timedelta(source.randrange(DAYS)),
        (longest, round(source.uniform(4, 15), 1), round(source.uniform(3, 12), 1)),
        round(source.uniform(0.5, 55), 1),
        is_residential=source.random() < 0.5,
        destination_prefix=source.choice(["597", "100"]),
        declared_value_cents=source.choice([0, 9_000, 22_000, 60_000]),
    )


def right_lines(rated: literal_rating.Rated) -> Lines:
    """The carrier bills what it expects by code, discounts with what they reduce, fuel last."""
    by_code: dict[str, int] = {}
    for line in rated.lines:
        if line.kind == "surcharge":
            code = "LONG" if line.name == "discount" else line.charge_code
        else:
            code = line.kind.upper()
        by_code[code] = by_code.get(code, 0) + line.amount_cents
    return list(by_code.items())


def with_extras(source: random.Random, lines: Lines, parcel: literal_rating.Parcel) -> Lines:
    """The same with options, events, a charge that no tariff knows, fuel on some of them, and tax on all."""
    declared = parcel.declared_value_cents
    cod = max(min(half_up(Decimal(declared) * 2 / 100), 1500), 500)
    possible = [("SIGN", 450), ("COD", cod), ("RETURN", source.randint(200, 900)), ("MEASURE", 275), ("PARK", 333)]
    chosen = [each for each in possible if source.random() < 0.2]
    fuelled = [cents for _, cents in chosen if source.random() < 0.5]
    lines = [*lines, *chosen]
    if fuelled:
        lines = [(code, cents + fuel_on(fuelled, lines, parcel) if code == "FUEL" else cents) for code, cents in lines]
    if source.random() < 0.1:
        lines.append(("ADDRESS", 1800))
    return [*lines, ("TAX", half_up(Decimal(sum(cents for _, cents in lines)) * 19 / 100))]


def share(parcel: literal_rating.Parcel) -> Decimal:
    """Fuel's share on the day of shipping, in percent."""
    starts = {date(2025, 1, 6): "10", date(2025, 8, 4): "11", date(2025, 12, 1): "12.5"}
    return Decimal(starts[max(day for day in starts if day <= parcel.shipped_on)])


def fuel_on(fuelled: list[int], lines: Lines, parcel: literal_rating.Parcel) -> int:
    """What fuel on these amounts adds to the fuel line."""
    return half_up(Decimal(sum(fuelled)) * share(parcel) / 100)


def faulty(
    source: random.Random, fault: str, lines: Lines, parcel: literal_rating.Parcel, tariff: literal_rating.Tariff
) -> tuple[Lines, str]:
    """The lines with one fault, and the zone that the invoice states. The tax stays as it was."""
    if fault == "zone" and parcel.zone == "2":
        farther = dict(right_lines(literal_rating.rate(replace(parcel, zone="3"), tariff)))
        own = dict(right_lines(literal_rating.rate(parcel, tariff)))
        return [(code, cents + farther.get(code, 0) - own.get(code, 0)) for code, cents in lines], "3"
    return list(FAULTY.get(fault, _amount)(source, lines, parcel)), parcel.zone


def _surcharge(source: random.Random, lines: Lines, parcel: literal_rating.Parcel) -> Iterator[tuple[str, int]]:
    """A surcharge of the list that no condition justifies."""
    missing = [code for code in NAMED.values() if code not in dict(lines)]
    yield from lines
    yield source.choice(missing), 1_000


def _amount(source: random.Random, lines: Lines, parcel: literal_rating.Parcel) -> Iterator[tuple[str, int]]:
    """The base price is some cents too high."""
    more = source.randint(2, 400)
    yield from ((code, cents + more if code == "BASE" else cents) for code, cents in lines)


def _option(source: random.Random, lines: Lines, parcel: literal_rating.Parcel) -> Iterator[tuple[str, int]]:
    """An option at another amount than the list's."""
    yield from ((code, cents) for code, cents in lines if code != "SIGN")
    yield "SIGN", 450 + source.randint(2, 300)


def _event(source: random.Random, lines: Lines, parcel: literal_rating.Parcel) -> Iterator[tuple[str, int]]:
    """An event at another amount than the list's."""
    yield from ((code, cents) for code, cents in lines if code != "ADDRESS")
    yield "ADDRESS", 1800 + source.randint(2, 300)


def _fuel_twice(source: random.Random, lines: Lines, parcel: literal_rating.Parcel) -> Iterator[tuple[str, int]]:
    """Fuel is taken on the base price twice."""
    more = half_up(Decimal(dict(lines)["BASE"]) * share(parcel) / 100)
    yield from ((code, cents + more if code == "FUEL" else cents) for code, cents in lines)


def _tax(source: random.Random, lines: Lines, parcel: literal_rating.Parcel) -> Iterator[tuple[str, int]]:
    """More tax than the list's."""
    more = source.randint(2, 300)
    yield from ((code, cents + more if code == "TAX" else cents) for code, cents in lines)


def _twice(source: random.Random, lines: Lines, parcel: literal_rating.Parcel) -> Iterator[tuple[str, int]]:
    """One line stands twice."""
    yield from lines
    yield source.choice([line for line in lines if line[0] not in ("TAX", "ADDRESS")])


FAULTY = {
    **{"surcharge": _surcharge, "option": _option, "event": _event, "fuel": _fuel_twice},
    **{"tax": _tax, "twice": _twice},
}


def bench_row(name: str, parcel: literal_rating.Parcel) -> dict[str, Any]:
    """The parcel as the shop's bench log has it."""
    length, width, height = sorted(parcel.sides_in, reverse=True)
    return {
        **{"parcel_id": name, "sale_id": f"S{name}", "carrier": "trial", "service": "plain", "zone": parcel.zone},
        **{"shipped_on": str(parcel.shipped_on), "scale_weight_lb": parcel.scale_weight_lb},
        **{"length_in": length, "width_in": width, "height_in": height},
        **{"is_residential": parcel.is_residential, "destination_prefix": parcel.destination_prefix},
        "declared_value_cents": parcel.declared_value_cents,
    }


def charge_row(
    name: str, parcel: literal_rating.Parcel, rated: literal_rating.Rated, zone: str, line: tuple[str, int]
) -> dict[str, Any]:
    """One line of the carrier's invoice; the base line states what was billed by."""
    code, cents = line
    facts = {
        "parcel_id": name,
        "carrier": "trial",
        "service": "plain",
        "zone": zone,
        "shipped_on": str(parcel.shipped_on),
    }
    billed = {"billed_weight_lb": float(rated.billed_weight)} | dict(
        zip(("billed_length_in", "billed_width_in", "billed_height_in"), map(float, rated.sides), strict=True)
    )
    return {**facts, **(billed if code == "BASE" else {}), "charge_code": code, "amount_cents": cents}
