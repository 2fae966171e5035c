"""Ten thousand parcels billed by a list with options, events, fuel and tax: false disputes, and wrong bills missed."""

from __future__ import annotations

import random

from tests.models.tariffs.price_lists import parsed, prices_text
from tests.pipelines.build.billed_list import CODES, TEXT
from tests.pipelines.build.billed_shops import billed_shop
from tests.shops import built, rows

Result = tuple[str, float, float]

PARCELS, FAULT_SHARE = 10_000, 0.2
MOST_MISSED = 0.05


def run(parcels: int = PARCELS) -> list[Result]:
    """(what, measured, limit) of each measurement; measured must not be above the limit."""
    shop = billed_shop(random.Random(11), parcels, FAULT_SHARE)
    listed = parsed("trial.toml", TEXT, lambda name: prices_text())
    with built(price_lists=[listed], weights=shop.weights, charges=shop.charges, charge_codes=CODES) as connection:
        found = rows(
            connection,
            "select parcel_id from marts.billing_disputes where difference_class not in ('rounding', 'fixed fee') "
            "group by parcel_id having sum(over_cents) > 1",
        )
    disputed = {str(row["parcel_id"]) for row in found}
    missed = set(shop.planted) - disputed
    return [
        (f"right bills of {parcels:,} parcels that can be disputed", float(len(disputed - set(shop.planted))), 0.0),
        ("wrong bills above a cent that are missed, of all such", len(missed) / len(shop.planted), MOST_MISSED),
    ]
