"""Tax on carriage that a shop gets back by its settings: no tariff is needed to say so."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from models.settings.shop import Shop
from pipelines.build import tariffs
from pipelines.shop.settings import Settings
from tests.models.tariffs.price_lists import parsed, prices_text, rules_text
from tests.shops import built, rows


def charge(parcel: str | None, kind: str, cents: int, line: int) -> dict[str, Any]:
    return {
        "parcel_id": parcel,
        "carrier": "stated",
        "charge_kind": kind,
        "amount_cents": cents,
        "invoice_number": "I1",
        "line_number": line,
        "invoiced_on": "2026-10-05",
    }


# A parcel known by its bill alone, one with a sale and a bench row, and a fee of the account, each with 19 % of tax.
BILLED = [
    charge("BILL", "base", 1_000, 1),
    charge("BILL", "tax", 190, 2),
    charge("SOLD", "base", 2_000, 3),
    charge("SOLD", "tax", 380, 4),
    charge(None, "surcharge", 500, 5),
    charge(None, "tax", 95, 6),
]
LIST = "tax_reclaimable = true\n"
LISTED = parsed("stated.toml", rules_text("stated", effective_from="2026-01-01"), lambda name: prices_text())


@pytest.mark.parametrize("price_lists", [[], [LISTED]])
@pytest.mark.parametrize(("is_reclaimed", "back"), [(False, 0), (True, -190 - 380 - 95)])
def test_tax_is_no_cost_where_the_shop_says_that_it_gets_it_back(
    is_reclaimed: bool, back: int, price_lists: list[Any]
) -> None:
    with built(
        Shop(tax_reclaimed=is_reclaimed),
        price_lists,
        sales=[{"sale_id": "S1", "shipping_charged_cents": 3_000, "marketplace_fee_cents": 0}],
        weights=[{"parcel_id": "SOLD", "sale_id": "S1", "carrier": "stated", "shipped_on": "2026-10-01"}],
        charges=BILLED,
    ) as connection:
        (month,) = rows(
            connection,
            "select sum(billed_cents) as billed, sum(tax_cents) as tax, sum(tax_reclaimed_cents) as back, "
            "sum(margin_cents - shipping_charged_cents + fee_on_shipping_cents + billed_cents + carton_cents "
            "+ material_cents + labour_cents) as kept from marts.parcel_costs",
        )
        (usual,) = rows(connection, "select sum(billed_cents) as cents from marts.carriage_cells")
    assert usual["cents"] == (3_000 if is_reclaimed else 3_570)  # what bills to come are expected by
    assert month == {"billed": 4_165, "tax": 665, "back": back, "kept": -back}


@pytest.mark.parametrize(
    ("first", "is_reclaimed", "is_cost"), [("", False, True), ("", True, False), (LIST, False, False)]
)
def test_an_announced_list_is_borne_as_the_shop_says(
    first: str, is_reclaimed: bool, is_cost: bool, tmp_path: Path
) -> None:
    (tmp_path / "stated.toml").write_text(
        rules_text("stated", effective_from="2026-01-01", first=first), encoding="utf-8"
    )
    (tmp_path / "stated.csv").write_text(prices_text(), encoding="utf-8")
    shop = Settings(folder=tmp_path, shop=Shop(tax_reclaimed=is_reclaimed))
    assert tariffs.announced(shop, tmp_path / "stated.toml").is_tax_reclaimable != is_cost
