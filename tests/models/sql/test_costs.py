"""Costs of a parcel and their shares: given rows, expected rows."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from tests.shops import built, rows


def test_costs_of_a_parcel_come_from_invoice_bench_and_catalogue() -> None:
    with built(
        sales=[{"sale_id": "S1", "shipping_charged_cents": 2_000}],
        weights=[{"parcel_id": "P1", "sale_id": "S1", "carton_code": "C1", "packing_method": "foam"}],
        cartons=[{"carton_code": "C1"}],
        packing_methods=[{"packing_method": "foam", "pack_minutes": 12}],
        item_types=[{"item_type": "tripod"}],
        charges=[
            {"parcel_id": "P1", "charge_code": "BASE", "charge_kind": "base", "amount_cents": 1_500},
            {"parcel_id": "P1", "charge_code": "LS", "charge_kind": "surcharge", "amount_cents": 1_800},
            {"parcel_id": "P1", "charge_code": "ADJ", "charge_kind": "adjustment", "amount_cents": -300},
        ],
        claims=[{"claim_id": "CL1", "parcel_id": "P1", "refund_cents": 900, "salvage_cents": 100}],
    ) as connection:
        (found,) = rows(connection, "select * from marts.parcel_costs")
    assert (found["base_cents"], found["surcharge_cents"], found["adjustment_cents"]) == (1_500, 1_800, -300)
    assert (found["carton_cents"], found["material_cents"]) == (250, 300)
    assert found["labour_cents"] == 480  # 12 minutes at 24.00 an hour
    assert found["damage_net_cents"] == 800
    assert found["margin_cents"] == 2_000 - 3_000 - 250 - 300 - 480 - 800


def test_a_dated_entry_counts_from_its_day() -> None:
    with built(
        weights=[
            {"parcel_id": "OLD", "sale_id": "S1", "carton_code": "C1", "shipped_on": "2026-01-11"},
            {"parcel_id": "NEW", "sale_id": "S2", "carton_code": "C1", "shipped_on": "2026-01-12"},
            {"parcel_id": "BEFORE", "sale_id": "S3", "carton_code": "C1", "shipped_on": "2024-12-31"},
        ],
        cartons=[
            {"carton_code": "C1", "unit_cost_cents": 250},
            {"carton_code": "C1", "effective_from": "2026-01-12", "unit_cost_cents": 290},
        ],
    ) as connection:
        found = {r["parcel_id"]: r["carton_cents"] for r in rows(connection, "select * from marts.parcel_costs")}
        warned = rows(connection, "select warning, row_count from analysis.warnings where warning = 'unknown cartons'")
    assert found == {"OLD": 250, "NEW": 290, "BEFORE": 0}
    assert warned == [{"warning": "unknown cartons", "row_count": 1}]


def test_account_fees_keep_the_total() -> None:
    with built(
        charges=[
            {"parcel_id": "P1", "charge_kind": "base", "amount_cents": 1_000},
            {"charge_code": "PICKUP", "charge_kind": "surcharge", "amount_cents": 700},
        ],
    ) as connection:
        found = rows(connection, "select parcel_id, is_account, billed_cents from marts.parcel_costs order by 1")
        month = rows(connection, "select parcel_count, billed_cents from marts.shipping_margin")
    assert found == [
        {"parcel_id": "P1", "is_account": False, "billed_cents": 1_000},
        {"parcel_id": "account Northline 2026-10", "is_account": True, "billed_cents": 700},
    ]
    assert month == [{"parcel_count": 1, "billed_cents": 1_700}]


def test_a_charge_of_unknown_kind_is_counted_and_named() -> None:
    with built(charges=[{"parcel_id": "P1", "charge_code": "ODD", "amount_cents": 55}]) as connection:
        (found,) = rows(connection, "select unmapped_cents, billed_cents from marts.parcel_costs")
        (warned,) = rows(connection, "select * from analysis.warnings where warning = 'unmapped charge codes'")
    assert found == {"unmapped_cents": 55, "billed_cents": 55}
    assert "charge_code ODD" in warned["examples"]


def test_the_charge_code_map_gives_kind_and_surcharge() -> None:
    with built(
        charges=[{"parcel_id": "P1", "charge_code": "LONG SIDE", "amount_cents": 1_850}],
        charge_codes=[{"charge_code": "LONG SIDE", "charge_kind": "surcharge", "surcharge": "long side"}],
    ) as connection:
        found = rows(
            connection, "select surcharge, charged_parcel_count, surcharge_rate from marts.surcharge_frequency"
        )
    assert found == [{"surcharge": "long side", "charged_parcel_count": 1, "surcharge_rate": 1.0}]


def test_shares_follow_chargeable_weight_by_largest_remainder() -> None:
    # 44 x 6 x 6 in over 139 is 11.396 lb, more than its 9 lb; the eyepiece weighs 1 lb, its volume rates 0.058 lb.
    # 100 cents share as 91.93 and 8.07: floors 91 and 8, the cent left over goes to the remainder .93.
    with built(
        sales=[{"sale_id": "S1"}, {"sale_id": "S1", "line_number": 2, "item_type": "eyepiece"}],
        item_types=[
            {"item_type": "tripod"},
            {"item_type": "eyepiece", "length_in": 2, "width_in": 2, "height_in": 2, "weight_lb": 1},
        ],
        weights=[{"parcel_id": "P1", "sale_id": "S1"}, {"parcel_id": "P1", "sale_id": "S1", "line_number": 2}],
        charges=[{"parcel_id": "P1", "charge_kind": "base", "amount_cents": 100}],
    ) as connection:
        found = rows(connection, "select item_type, base_cents from marts.parcel_line_costs order by line_number")
        months = rows(connection, "select item_type, billed_cents from marts.item_type_costs order by 1")
    assert found == [{"item_type": "tripod", "base_cents": 92}, {"item_type": "eyepiece", "base_cents": 8}]
    assert months == [{"item_type": "eyepiece", "billed_cents": 8}, {"item_type": "tripod", "billed_cents": 92}]


def test_a_line_in_several_parcels_shares_what_the_buyer_paid_by_pieces() -> None:
    with built(
        sales=[{"sale_id": "S1", "quantity": 3, "shipping_charged_cents": 1_001}],
        weights=[
            {"parcel_id": "P1", "sale_id": "S1", "packed_quantity": 1},
            {"parcel_id": "P2", "sale_id": "S1", "packed_quantity": 2},
        ],
    ) as connection:
        found = rows(connection, "select parcel_id, shipping_charged_cents from core.parcel_lines order by 1")
    assert found == [
        {"parcel_id": "P1", "shipping_charged_cents": 334},
        {"parcel_id": "P2", "shipping_charged_cents": 667},
    ]


def test_a_marketplace_fee_on_shipping_bears_on_shipping_by_value() -> None:
    with built(
        sales=[
            {
                "sale_id": "S1",
                "item_price_cents": 9_000,
                "shipping_charged_cents": 1_000,
                "marketplace_fee_cents": 1_200,
                "is_fee_on_shipping": on_shipping,
                "line_number": line,
            }
            for line, on_shipping in ((1, True), (2, False))
        ],
    ) as connection:
        found = rows(connection, "select fee_on_shipping_cents from core.sale_lines order by line_number")
    assert found == [{"fee_on_shipping_cents": 120}, {"fee_on_shipping_cents": 0}]


def test_an_invoice_alone_makes_parcels_and_a_label_reference_finds_the_sale() -> None:
    with built(
        sales=[{"sale_id": "S1", "shipping_charged_cents": 900}],
        charges=[{"parcel_id": "P1", "sale_id": "S1", "charge_kind": "base", "amount_cents": 1_000}],
    ) as connection:
        found = rows(connection, "select item_type, has_bench_log, has_charges from core.parcels")
        (costs,) = rows(connection, "select margin_cents from marts.parcel_costs")
    assert found == [{"item_type": "tripod", "has_bench_log": False, "has_charges": True}]
    assert costs == {"margin_cents": -100}


LINES = st.lists(st.tuples(st.integers(0, 3), st.integers(1, 9), st.integers(1, 5)), min_size=1, max_size=8)
AMOUNTS = st.lists(st.tuples(st.integers(0, 4), st.integers(-5_000, 50_000)), max_size=12)


@settings(derandomize=True, deadline=None, max_examples=25)
@given(packed=LINES, charged=AMOUNTS)
def test_every_total_is_conserved(packed: list[tuple[int, int, int]], charged: list[tuple[int, int]]) -> None:
    kinds = ("base", "fuel", "surcharge", "adjustment", "credit")
    with built(
        sales=[
            {"sale_id": f"S{n}", "quantity": q, "shipping_charged_cents": 137 * q, "item_type": f"T{q % 3}"}
            for n, (_, q, _) in enumerate(packed)
        ],
        item_types=[{"item_type": "T0"}, {"item_type": "T1", "weight_lb": 21.37}],
        weights=[
            {"parcel_id": f"P{parcel}", "sale_id": f"S{n}", "packed_quantity": pieces}
            for n, (parcel, _, pieces) in enumerate(packed)
        ],
        charges=[
            {"parcel_id": f"P{parcel}" if parcel else None, "charge_kind": kinds[parcel], "amount_cents": cents}
            for parcel, cents in charged
        ],
    ) as connection:
        totals = rows(
            connection,
            """select
                (select sum(billed_cents) from marts.parcel_costs) as parcels,
                (select sum(billed_cents) from marts.parcel_line_costs) as lines,
                (select sum(billed_cents) from marts.item_type_costs) as item_types,
                (select sum(amount_cents) from marts.invoice_totals) as invoices,
                (select sum(margin_cents) from marts.shipping_margin) as month_margin,
                (select sum(margin_cents) from marts.item_type_costs) as item_margin,
                (select sum(shipping_charged_cents) from marts.shipping_margin) as charged""",
        )[0]
    billed = sum(cents for _, cents in charged)
    assert int(totals["parcels"]) == int(totals["lines"]) == int(totals["item_types"]) == billed
    assert int(totals["invoices"] or 0) == billed
    assert totals["month_margin"] == totals["item_margin"]
    assert int(totals["charged"]) == sum(137 * q for _, q, _ in packed)
