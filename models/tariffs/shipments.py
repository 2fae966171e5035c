"""Shipments of several parcels: how a tariff states them, as rows, and what is wrong with them."""

from collections.abc import Callable, Iterator, Mapping
from decimal import Decimal
from itertools import pairwise
from typing import Any

from models.tariffs.charge_sections import rounding_of
from models.tariffs.charges import SURCHARGE, Rounding, Shipment
from models.tariffs.reading import Finding, Section
from models.tariffs.rules import MILLIONTHS_OF_PERCENT, Service, Tariff
from models.tariffs.surcharge_rows import rounding_cells

Row = dict[str, Any]
BASES = ("each", "total")
WEIGHTS_ADDED = {
    "rounded": "each rounded",
    "greater": "of each the greater weight",
    "together": "the greater of scale and dimensional weight together",
}
RULE = "the rule for shipments"
LESS_ON = ("further", "all")
# More parcels than any carrier takes as one shipment.
MOST_PARCELS = 1_000_000


def shipment_of(section: Section, default: Rounding) -> Shipment:
    """One row of [[shipments]]."""
    is_of_total = section.text("base", BASES) == "total"
    if is_of_total != ("weight" in section.stated):
        what, next_step = ("is missing", "state how weights are added") if is_of_total else _without("total")
        section.wrong("weight", what, next_step)
    less = [key for key in ("less_cents", "less_percent") if key in section.stated]
    if less and (is_of_total or len(less) > 1):
        section.wrong(less[0], *(_without("each") if is_of_total else ("stands beside less_percent", "state one")))
    if "less_on" in section.stated and not less:
        section.wrong("less_on", "stands without less_cents or less_percent", "state what is taken off")
    return Shipment(
        services=section.texts("services"),
        parcels_at_least=section.whole("parcels_at_least", least=2) or 2,
        is_of_total=is_of_total,
        weight=section.text("weight", tuple(WEIGHTS_ADDED), needed=False),
        less_cents=section.whole("less_cents"),
        less_millionths=section.if_stated("less_percent", section.share),
        is_less_on_all=section.text("less_on", LESS_ON, needed=False) == "all",
        minimum_cents=section.whole("minimum_cents") or 0,
        once=section.texts("once") or (),
        rounding=rounding_of(section, default),
        line=section.line(),
    )


def _without(base: str) -> tuple[str, str]:
    return f'is of base = "{base}" alone', f'leave it out, or state base = "{base}"'


def rules_of(tariff: Tariff, service: str) -> list[Shipment]:
    """The rules for shipments of a service, by the number of parcels from which each counts."""
    own = [row for row in tariff.shipments if row.holds_for(service)]
    return sorted(own, key=lambda row: row.parcels_at_least)


def shipment_rows(tariff: Tariff, services: Mapping[str, int]) -> list[Row]:
    """The rule of each service and number of parcels."""
    return [
        {
            "service_key": key,
            **vars(row),
            "parcels_at_most": most,
            "has_own_base": row.changes_base,
            "weight_added": row.weight or None,
            "less_millionths": row.less_millionths if row.less_cents is None else None,
            **rounding_cells(row.rounding),
        }
        for service, key in services.items()
        for row, most in _spans(rules_of(tariff, service))
    ]


def _spans(rows: list[Shipment]) -> list[tuple[Shipment, int]]:
    ends = [after.parcels_at_least - 1 for _, after in pairwise(rows)]
    return list(zip(rows, [*ends, MOST_PARCELS], strict=False))


def once_rows(tariff: Tariff, services: Mapping[str, int]) -> list[Row]:
    """The surcharges that a shipment bears once."""
    return [
        {"service_key": key, "parcels_at_least": row.parcels_at_least, "surcharge": name}
        for service, key in services.items()
        for row in rules_of(tariff, service)
        for name in dict.fromkeys(row.once)
    ]


def shipment_shown(row: Shipment, money: Callable[[Decimal], str]) -> Row:
    """The rule in words; money words an amount in minor units."""
    percent = f"{(row.less_millionths or 0) / MILLIONTHS_OF_PERCENT:g} %"
    less = percent if row.less_cents is None else money(Decimal(row.less_cents))
    off = f", {less} less on {'all' if row.is_less_on_all else 'all but one'}"
    each = "each parcel" + (off if row.less_cents or row.less_millionths else "")
    return {
        "parcels from": row.parcels_at_least,
        "services": ", ".join(row.services or ("all",)),
        "base price of": f"the weight of all, {WEIGHTS_ADDED[row.weight]}" if row.is_of_total else each,
        "at least": money(Decimal(row.minimum_cents)) if row.minimum_cents else "",
        "charged once": ", ".join(row.once),
    }


def shipment_findings(tariff: Tariff) -> Iterator[Finding]:
    """Everything found in the rules for shipments."""
    for row in tariff.shipments:
        for service in sorted(set(row.services or ()) - tariff.service_names):
            what = f"is for the unknown service {service}"
            yield _stop(tariff, row, what, "correct the name, or state the service")
        for name in sorted(set(row.once) - tariff.surcharge_names):
            what = f"names the unknown surcharge {name}"
            yield _stop(tariff, row, what, "write it as in its [[surcharges]] row")
    for each in tariff.services:
        own = rules_of(tariff, each.service)
        for row, after in pairwise(own):
            if row.parcels_at_least == after.parcels_at_least:
                what = f"counts from {after.parcels_at_least} parcels on, as the rule in line {row.line} does"
                yield _stop(tariff, after, what, f"state another number for {each.service}")
        for row in own:
            yield from _not_once(tariff, row)
            yield from _not_ratable(tariff, each, row)


def _not_once(tariff: Tariff, row: Shipment) -> Iterator[Finding]:
    """A charge borne once takes a share of the base price in all of its rows or in none, and has no discount."""
    discounted = {target for discount in tariff.discounts for target in discount.on}
    for name in row.once:
        shares = [
            each.of if each.share_millionths is not None and "base" in each.of else ()
            for each in tariff.surcharges
            if each.surcharge == name
        ]
        if any(shares) and set(shares) != {("base",)}:
            what = f"has {name} once, of whose rows not each takes a share of the base price alone"
            yield _stop(tariff, row, what, "state other rows under a name of their own")
        elif any(shares) and f"{SURCHARGE}{name}" in discounted:
            yield _stop(tariff, row, f"has {name} once, a share with a discount", "state the share that is left")


def _not_ratable(tariff: Tariff, service: Service, row: Shipment) -> Iterator[Finding]:
    """Prices by size have no weight of all parcels; a share of each parcel's base price is none of the shipment's."""
    if row.is_of_total and tariff.classes_of(service):
        yield _stop(tariff, row, "takes the weight of all parcels, but prices go by sizes", 'state base = "each"')
    shares = [
        each.surcharge
        for each in tariff.surcharges
        if each.share_millionths is not None
        and "base" in each.of
        and (each.of != ("base",) or each.surcharge not in row.once)
        and each.holds_for(service.service)
    ]
    if row.changes_base and shares:
        what = f"changes the base price, of which {shares[0]} takes a share for each parcel"
        yield Finding(
            tariff.file, row.line, "warn", f"{RULE} {what}", "state it under once, else it is not checked on such bills"
        )


def _stop(tariff: Tariff, row: Shipment, what: str, next_step: str) -> Finding:
    return Finding(tariff.file, row.line, "stop", f"{RULE} {what}", next_step)
