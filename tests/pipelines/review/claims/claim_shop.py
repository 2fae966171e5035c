"""An invented shop with a parcel for each story of a claim, built once for the tests that read or mark it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date, datetime
from pathlib import Path
from typing import Any

from pipelines.review.claims import sheets, standings
from pipelines.shop.settings import Settings, Shop
from pipelines.shop.warehouse import Connection
from tests.models.tariffs.price_lists import tariff
from tests.shops import built

TODAY, NOON = date(2026, 11, 29), datetime(2026, 11, 29, 12)
TERMS = """
[[claim_terms]]
step = "notice"
days = 7
from = "delivered_on"

[[claim_terms]]
step = "answer"
months = 1
from = "filed_on"

[[claim_terms]]
step = "appeal"
working_days = 10
from = "decided_on"

[[surcharges]]
surcharge = "declared value"
charge_code = "DECLARED"
per_declared = { above_cents = 10000, step_cents = 10000, amount_cents = 120 }
"""
# One parcel each; those of `two` are of one sale. The price list asks 100 cents a pound in zone 2.
PARCELS = ("late", "packing", "part", "again", "again2", "keeps", "whole", "two-1", "two-2", "bare", "foreign", "told")
SHIPPED = {"late": "2026-09-28", "packing": "2026-10-05", "bare": "2026-11-02"}
PACKED = {
    **{"carrier": "trial", "service": "plain", "zone": "2", "scale_weight_lb": 11, "carton_code": "C-48"},
    **{"packing_method": "foam", "length_in": 48, "width_in": 8, "height_in": 8},
}


def records() -> dict[str, list[dict[str, Any]]]:
    """The shop's records. `bare` has no sale price known apart from its sale, and no invoice."""
    sale = {"item_price_cents": 18_900, "shipping_charged_cents": 2_450, "marketplace_fee_cents": 1_890}
    sales: list[dict[str, Any]] = [
        {"sale_id": f"S-{name}", "sold_at": "2026-09-20 10:00:00", **sale}
        for name in PARCELS
        if not name.startswith("two")
    ]
    sales.append({"sale_id": "S-two", "sold_at": "2026-10-20 10:00:00", **sale, "quantity": 2})
    return {
        "sales": sales,
        "weights": [
            {
                **PACKED,
                "parcel_id": name,
                "sale_id": "S-two" if name.startswith("two") else f"S-{name}",
                "shipped_on": SHIPPED.get(name, "2026-10-26"),
            }
            for name in PARCELS
        ],
        "charges": [
            {"carrier": "trial", "parcel_id": name, "charge_kind": "base", "amount_cents": 2_300}
            for name in PARCELS
            if name != "bare"
        ],
        "item_types": [{"item_type": "tripod", "item_cost_cents": 9_200, "is_fragile": True}],
        "packing_methods": [{"packing_method": "foam"}],
        "cartons": [{"carton_code": "C-48"}],
    }


@contextmanager
def claim_shop(**more: list[dict[str, Any]]) -> Iterator[Connection]:
    """The shop built in memory; `more` are further records of a kind."""
    listed = {**records(), **more}
    with built(Shop(wage_cents_per_hour=2_400), [tariff(rest=TERMS)], (), **listed) as connection:
        yield connection


def settings_in(folder: Path, currency: str = "USD") -> Settings:
    """The shop's settings, with its files below that folder."""
    return Settings(folder=folder, shop=Shop(name="Fernmoor Optics", currency=currency))


def opened(connection: Connection, parcel: str, on: date, delivered_on: date | None = None, **more: Any) -> str:
    """A claim opened at the command line; damage unless said otherwise."""
    cause = more.pop("cause", "damage")
    return standings.open_claim(connection, parcel, cause, on, NOON, delivered_on, **more)


def marked(connection: Connection, claim: str, state: str, on: date, **amounts: int) -> None:
    """A step of the claim, noted."""
    standings.mark(connection, claim, state, on, NOON, {f"{name}_cents": cents for name, cents in amounts.items()})


def sheet_of(connection: Connection, folder: Path, parcel: str, on: date = TODAY) -> Any:
    """The parcel's sheet on a day."""
    return sheets.sheet(connection, settings_in(folder), parcel, on)
