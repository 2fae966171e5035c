"""A shop whose parcels go as shipments, each billed in one amount: rightly by its list, or too much."""

from __future__ import annotations

import random
from dataclasses import replace
from decimal import Decimal
from typing import Any

from sample_data.literal_amounts import half_up
from sample_data.literal_rating import Parcel
from tests.pipelines.build.billed_list import TEXT
from tests.pipelines.build.billed_shops import Billed, bench_row, drawn, literal_tariff
from tests.pipelines.build.literal_shipments import rate_together

RULE = """
[[shipments]]
base = "each"
less_percent = 20.0
minimum_cents = 1500
once = ["home"]
"""
# A share of a base price that the rule changes is not checked: the list here takes none.
LIST = TEXT.replace('percent = 5.0\nof = ["base", "surcharge"]', 'percent = 5.0\nof = ["surcharge"]') + RULE
CODES = {
    **{"base": "BASE", "fuel": "FUEL", "long side": "LONG", "oversize": "OVER", "home": "HOME", "far": "FAR"},
    **{"value": "VALUE", "peak": "PEAK", "dense": "DENSE"},
}


def billed_shipments(source: random.Random, count: int, fault_share: float) -> Billed:
    """So many shipments of two to four parcels; `planted` names them by their first parcel."""
    tariff = literal_tariff(LIST)
    found = Billed()
    number = 0
    while number < count:
        parcels = _parcels(source)
        amounts = rate_together(parcels, tariff)
        if amounts is None or None in amounts.values():
            continue
        name = f"SH{number:05d}"
        lines = {CODES[charge]: cents or 0 for (_, charge), cents in amounts.items()}
        # The tax stays as it was: so much is due on the right charges.
        tax = half_up(Decimal(sum(lines.values())) * 19 / 100)
        if source.random() < fault_share:
            found.planted[f"{name}-0"] = more = source.randint(len(parcels) + 1, 600)
            lines[source.choice(sorted(lines))] += more
        found.weights += [
            bench_row(f"{name}-{place}", parcel) | {"sale_id": name, "shipment_id": name}
            for place, parcel in enumerate(parcels)
        ]
        # One shipment in three is billed under its first label.
        label = f"{name}-0" if number % 3 == 0 else None
        facts = {
            "parcel_id": label,
            "shipment_id": name,
            "carrier": "trial",
            "service": "plain",
            "zone": parcels[0].zone,
        }
        found.charges += [_line(facts, code, cents) for code, cents in [*lines.items(), ("TAX", tax)]]
        number += 1
    return found


def _parcels(source: random.Random) -> list[Parcel]:
    first = drawn(source)
    others = [drawn(source) for _ in range(source.randint(1, 3))]
    return [first, *(replace(each, zone=first.zone, shipped_on=first.shipped_on) for each in others)]


def _line(facts: dict[str, Any], code: str, cents: int) -> dict[str, Any]:
    return facts | {"charge_code": code, "amount_cents": cents}
