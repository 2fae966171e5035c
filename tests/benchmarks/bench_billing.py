"""Parcels and shipments billed by a list with options, events, fuel and tax: false disputes, wrong bills missed."""

from __future__ import annotations

import random

from tests.models.tariffs.price_lists import parsed, prices_text
from tests.pipelines.build.billed_list import CODES, TEXT
from tests.pipelines.build.billed_shipments import LIST, RULE, billed_shipments
from tests.pipelines.build.billed_shops import Billed, billed_shop
from tests.shops import built, rows

Result = tuple[str, float, float]

PARCELS, SHIPMENTS, FAULT_SHARE = 10_000, 1_500, 0.2
MOST_MISSED = 0.05


def run(parcels: int = PARCELS, shipments: int = SHIPMENTS) -> list[Result]:
    """(what, measured, limit) of each measurement; measured must not be above the limit."""
    return [
        *_missed(f"{parcels:,} parcels", billed_shop(random.Random(11), parcels, FAULT_SHARE), TEXT),
        *_missed(f"{shipments:,} shipments", billed_shipments(random.Random(12), shipments, FAULT_SHARE), LIST),
        _without_a_rule(billed_shipments(random.Random(13), shipments, FAULT_SHARE)),
    ]


def _missed(what: str, shop: Billed, text: str) -> list[Result]:
    disputed = _disputed(shop, text)
    missed = set(shop.planted) - disputed
    return [
        (f"right bills of {what} that can be disputed", float(len(disputed - set(shop.planted))), 0.0),
        (f"wrong bills of {what} above rounding that are missed", len(missed) / len(shop.planted), MOST_MISSED),
    ]


def _without_a_rule(shop: Billed) -> Result:
    """Tax apart, which is held to what was billed, nothing can be said."""
    found = _disputed(shop, LIST.replace(RULE, ""), but="'tax', ")
    return ("shipments disputed where the list has no rule for them", float(len(found)), 0.0)


def _disputed(shop: Billed, text: str, but: str = "") -> set[str]:
    listed = parsed("trial.toml", text, lambda name: prices_text())
    with built(price_lists=[listed], weights=shop.weights, charges=shop.charges, charge_codes=CODES) as connection:
        found = rows(
            connection,
            "select parcel_id from marts.billing_disputes "
            f"where difference_class not in ({but}'rounding', 'fixed fee') "
            "group by parcel_id having sum(over_cents) > 1",
        )
    return {str(row["parcel_id"]) for row in found}
