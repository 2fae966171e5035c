"""Costs of a parcel and their shares: given rows, expected rows.

All cases lie in one shop, which is built once; each has parcels, item types and, where months are asked, a carrier or a
month of its own.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from typing import Any

import pytest

from pipelines.shop import warehouse
from tests.shops import built, rows

KINDS = ("base", "fuel", "surcharge", "adjustment", "credit")
SHOPS = 25


def charge(parcel: str | None, kind: str | None, cents: int, **more: Any) -> dict[str, Any]:
    return {"parcel_id": parcel, "charge_kind": kind, "amount_cents": cents, **more}


def known_parcel() -> dict[str, list[dict[str, Any]]]:
    return {
        "sales": [{"sale_id": "S1", "shipping_charged_cents": 2_000}],
        "weights": [{"parcel_id": "P1", "sale_id": "S1", "carton_code": "C1", "packing_method": "foam"}],
        "cartons": [{"carton_code": "C1"}],
        "packing_methods": [{"packing_method": "foam", "pack_minutes": 12}],
        "item_types": [{"item_type": "tripod"}],
        "charges": [
            charge("P1", "base", 1_500, charge_code="BASE"),
            charge("P1", "surcharge", 1_800, charge_code="LS"),
            charge("P1", "adjustment", -300, charge_code="ADJ"),
        ],
        "claims": [{"claim_id": "CL1", "parcel_id": "P1", "refund_cents": 900, "salvage_cents": 100}],
    }


def dated_cartons() -> dict[str, list[dict[str, Any]]]:
    days = {"OLD": "2026-01-11", "NEW": "2026-01-12", "BEFORE": "2024-12-31"}
    return {
        "weights": [
            {"parcel_id": parcel, "sale_id": f"dated {parcel}", "carton_code": "DATED", "shipped_on": day}
            for parcel, day in days.items()
        ],
        "cartons": [
            {"carton_code": "DATED", "unit_cost_cents": 250},
            {"carton_code": "DATED", "effective_from": "2026-01-12", "unit_cost_cents": 290},
        ],
    }


def charged_alone() -> dict[str, list[dict[str, Any]]]:
    """Fees of an account in a month of their own, a code without a kind, one mapped to a kind, a sale by its label."""
    fee = {"carrier": "Feeline", "invoice_number": "F1", "invoiced_on": "2024-05-09"}
    return {
        "sales": [{"sale_id": "S-label", "shipping_charged_cents": 900}],
        "charges": [
            charge("FEE", "base", 1_000, **fee),
            charge(None, "surcharge", 700, charge_code="PICKUP", **fee),
            charge("UNMAPPED", None, 55, charge_code="ODD"),
            charge("MAPPED", None, 1_850, charge_code="LONG SIDE", carrier="Mapped Lines"),
            charge("LABEL", "base", 1_000, sale_id="S-label"),
        ],
        "charge_codes": [
            {
                "charge_code": "LONG SIDE",
                "charge_kind": "surcharge",
                "surcharge": "long side",
                "carrier": "Mapped Lines",
            }
        ],
    }


def shared() -> dict[str, list[dict[str, Any]]]:
    """Two lines in one parcel, one line in two parcels, and fees taken on shipping or not."""
    fees = {"item_price_cents": 9_000, "shipping_charged_cents": 1_000, "marketplace_fee_cents": 1_200}
    return {
        "sales": [
            {"sale_id": "S-two", "item_type": "rod"},
            {"sale_id": "S-two", "line_number": 2, "item_type": "lens"},
            {"sale_id": "S-three", "quantity": 3, "shipping_charged_cents": 1_001},
            *({"sale_id": "S-fee", **fees, "is_fee_on_shipping": line == 1, "line_number": line} for line in (1, 2)),
        ],
        "item_types": [
            {"item_type": "rod"},
            {"item_type": "lens", "length_in": 2, "width_in": 2, "height_in": 2, "weight_lb": 1},
        ],
        "weights": [
            {"parcel_id": "TWO", "sale_id": "S-two"},
            {"parcel_id": "TWO", "sale_id": "S-two", "line_number": 2},
            {"parcel_id": "THREE-1", "sale_id": "S-three", "packed_quantity": 1},
            {"parcel_id": "THREE-2", "sale_id": "S-three", "packed_quantity": 2},
        ],
        "charges": [charge("TWO", "base", 100)],
    }


def any_shop(number: int) -> dict[str, list[dict[str, Any]]]:
    """Up to eight lines in up to four parcels and up to twelve charges of any kind, under names of its own."""
    chance, of = random.Random(number), f"shop {number}"
    lines = [(chance.randint(0, 3), chance.randint(1, 9), chance.randint(1, 5)) for _ in range(chance.randint(1, 8))]
    amounts = [(chance.randint(0, 4), chance.randint(-5_000, 50_000)) for _ in range(chance.randint(0, 12))]
    return {
        "sales": [
            {"sale_id": f"{of} S{n}", "quantity": q, "shipping_charged_cents": 137 * q, "item_type": f"{of} T{q % 3}"}
            for n, (_, q, _) in enumerate(lines)
        ],
        "item_types": [{"item_type": f"{of} T0"}, {"item_type": f"{of} T1", "weight_lb": 21.37}],
        "weights": [
            {"parcel_id": f"{of} P{parcel}", "sale_id": f"{of} S{n}", "packed_quantity": pieces, "carrier": of}
            for n, (parcel, _, pieces) in enumerate(lines)
        ],
        "charges": [
            charge(f"{of} P{parcel}" if parcel else None, KINDS[parcel], cents, carrier=of, invoice_number=of)
            for parcel, cents in amounts
        ],
    }


CASES = [known_parcel(), dated_cartons(), charged_alone(), shared(), *(any_shop(number) for number in range(SHOPS))]


@pytest.fixture(scope="module")
def shop() -> Iterator[warehouse.Connection]:
    kinds = sorted({kind for case in CASES for kind in case})
    records = {kind: [row for case in CASES for row in case.get(kind, [])] for kind in kinds}
    with built(None, (), (), **records) as found:
        yield found


def test_costs_of_a_parcel_come_from_invoice_bench_and_catalogue(shop: warehouse.Connection) -> None:
    (found,) = rows(shop, "select * from marts.parcel_costs where parcel_id = 'P1'")
    assert (found["base_cents"], found["surcharge_cents"], found["adjustment_cents"]) == (1_500, 1_800, -300)
    assert (found["carton_cents"], found["material_cents"]) == (250, 300)
    assert found["labour_cents"] == 480  # 12 minutes at 24.00 an hour
    assert found["damage_net_cents"] == 800
    assert found["margin_cents"] == 2_000 - 3_000 - 250 - 300 - 480 - 800


def test_a_dated_entry_counts_from_its_day(shop: warehouse.Connection) -> None:
    found = rows(shop, "select parcel_id, carton_cents from marts.parcel_costs where carton_code = 'DATED'")
    warned = rows(shop, "select warning, row_count from analysis.warnings where warning = 'unknown cartons'")
    assert {row["parcel_id"]: row["carton_cents"] for row in found} == {"OLD": 250, "NEW": 290, "BEFORE": 0}
    assert warned == [{"warning": "unknown cartons", "row_count": 1}]


def test_account_fees_keep_the_total(shop: warehouse.Connection) -> None:
    costs = "select parcel_id, is_account, billed_cents from marts.parcel_costs where carrier = 'Feeline' order by 1"
    month = "select parcel_count, billed_cents from marts.shipping_margin where shipped_month = date '2024-05-01'"
    assert rows(shop, costs) == [
        {"parcel_id": "FEE", "is_account": False, "billed_cents": 1_000},
        {"parcel_id": "account Feeline 2024-05", "is_account": True, "billed_cents": 700},
    ]
    assert rows(shop, month) == [{"parcel_count": 1, "billed_cents": 1_700}]


def test_a_charge_of_unknown_kind_is_counted_and_named(shop: warehouse.Connection) -> None:
    found = rows(shop, "select unmapped_cents, billed_cents from marts.parcel_costs where parcel_id = 'UNMAPPED'")
    (warned,) = rows(shop, "select * from analysis.warnings where warning = 'unmapped charge codes'")
    assert found == [{"unmapped_cents": 55, "billed_cents": 55}]
    assert warned["row_count"] == 1 and "Charge code ODD" in warned["examples"]


def test_the_charge_code_map_gives_kind_and_surcharge(shop: warehouse.Connection) -> None:
    asked = "select surcharge, charged_parcel_count, surcharge_rate from marts.surcharge_frequency"
    found = rows(shop, f"{asked} where carrier = 'Mapped Lines'")
    assert found == [{"surcharge": "long side", "charged_parcel_count": 1, "surcharge_rate": 1.0}]


def test_shares_follow_chargeable_weight_by_largest_remainder(shop: warehouse.Connection) -> None:
    # 44 x 6 x 6 in over 139 is 11.396 lb, more than its 9 lb; the lens weighs 1 lb, its volume rates 0.058 lb.
    # 100 cents share as 91.93 and 8.07: floors 91 and 8, the cent left over goes to the remainder .93.
    shares = "select item_type, base_cents from marts.parcel_line_costs where parcel_id = 'TWO' order by line_number"
    months = "select item_type, billed_cents from marts.item_type_costs where item_type in ('rod', 'lens') order by 1"
    assert rows(shop, shares) == [{"item_type": "rod", "base_cents": 92}, {"item_type": "lens", "base_cents": 8}]
    assert rows(shop, months) == [{"item_type": "lens", "billed_cents": 8}, {"item_type": "rod", "billed_cents": 92}]


def test_a_line_in_several_parcels_shares_what_the_buyer_paid_by_pieces(shop: warehouse.Connection) -> None:
    asked = "select parcel_id, shipping_charged_cents from core.parcel_lines where sale_id = 'S-three' order by 1"
    assert rows(shop, asked) == [
        {"parcel_id": "THREE-1", "shipping_charged_cents": 334},
        {"parcel_id": "THREE-2", "shipping_charged_cents": 667},
    ]


def test_a_marketplace_fee_on_shipping_bears_on_shipping_by_value(shop: warehouse.Connection) -> None:
    asked = "select fee_on_shipping_cents from core.sale_lines where sale_id = 'S-fee' order by line_number"
    assert rows(shop, asked) == [{"fee_on_shipping_cents": 120}, {"fee_on_shipping_cents": 0}]


def test_an_invoice_alone_makes_parcels_and_a_label_reference_finds_the_sale(shop: warehouse.Connection) -> None:
    asked = "select item_type, has_bench_log, has_charges from core.parcels where parcel_id = 'LABEL'"
    assert rows(shop, asked) == [{"item_type": "tripod", "has_bench_log": False, "has_charges": True}]
    costs = rows(shop, "select margin_cents from marts.parcel_costs where parcel_id = 'LABEL'")
    assert costs == [{"margin_cents": -100}]


@pytest.mark.parametrize("number", range(SHOPS))
def test_every_total_is_conserved(shop: warehouse.Connection, number: int) -> None:
    case, of = any_shop(number), f"shop {number}"
    (found,) = rows(
        shop,
        f"""select
            (select sum(billed_cents) from marts.parcel_costs where carrier = '{of}') as parcels,
            (select sum(l.billed_cents) from marts.parcel_line_costs as l
                inner join marts.parcel_costs as p on p.parcel_id = l.parcel_id where p.carrier = '{of}') as lines,
            (select sum(amount_cents) from marts.invoice_totals where carrier = '{of}') as invoices,
            (select sum(margin_cents) from marts.parcel_costs where carrier = '{of}') as margin,
            (select sum(margin_cents) from marts.margin_by_service where carrier = '{of}') as service_margin,
            (select sum(shipping_charged_cents) from marts.parcel_costs where carrier = '{of}') as charged""",
    )
    billed = sum(row["amount_cents"] for row in case["charges"])
    assert int(found["parcels"]) == int(found["lines"]) == int(found["invoices"] or 0) == billed
    assert found["margin"] == found["service_margin"]
    assert int(found["charged"]) == sum(row["shipping_charged_cents"] for row in case["sales"])


def test_all_shops_together_are_conserved(shop: warehouse.Connection) -> None:
    (found,) = rows(
        shop,
        """select
            (select sum(billed_cents) from marts.item_type_costs) as item_types,
            (select sum(margin_cents) from marts.shipping_margin) as month_margin,
            (select sum(margin_cents) from marts.item_type_costs) as item_margin""",
    )
    assert int(found["item_types"]) == sum(row["amount_cents"] for case in CASES for row in case.get("charges", []))
    assert found["month_margin"] == found["item_margin"]
