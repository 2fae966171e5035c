"""Bridge, guidance and actions on shops with little or nothing in their records."""

from __future__ import annotations

from typing import Any

import pytest

from models.analyses import ANALYSES
from pipelines.build import analysing
from tests.shops import Rows, built, rows

NAMES = ("damage", "margin bridge", "months completed", "shipping guidance", "actions")
MINE = [each for each in ANALYSES if each.name in NAMES]
ONE_SALE: dict[str, Rows] = {
    "sales": [{"sale_id": "S1", "shipping_charged_cents": 500}],
    "weights": [{"parcel_id": "P1", "sale_id": "S1"}],
}


@pytest.mark.parametrize(
    "records",
    [
        {},
        ONE_SALE,
        {"charges": [{"charge_code": "PICKUP", "charge_kind": "surcharge", "amount_cents": 700}]},
        {"charges": [{"parcel_id": "P1", "charge_kind": "credit", "amount_cents": -700}]},
        {"claims": [{"claim_id": "C1", "parcel_id": "P9", "refund_cents": 5_000, "claim_state": "reported"}]},
        {**ONE_SALE, "charges": [{"parcel_id": "P1", "charge_kind": "base", "amount_cents": 0}]},
    ],
    ids=["nothing", "no invoice", "a fee alone", "a credit alone", "a claim alone", "carried for nothing"],
)
def test_little_is_known_and_nothing_breaks(records: dict[str, Any]) -> None:
    with built(**records) as connection:
        analysing.analyse(connection, {}, MINE)
        (totals,) = rows(connection, "select * from analysis.action_totals")
        bridge = rows(connection, "select count(*) as steps from analysis.margin_bridge")
        advised = rows(connection, "select count(*) as advised from analysis.shipping_guidance")
    assert totals["expected_month_cents"] == 0
    assert "cartons in stock" in totals["not_looked_at"]
    assert bridge == [{"steps": 0}]
    assert advised == [{"advised": 0}]


def test_two_months_are_bridged_and_a_loss_is_reported() -> None:
    days = [f"2026-{month}-{day:02}" for month in ("09", "10") for day in range(1, 25)]
    with built(
        sales=[{"sale_id": f"S{n}", "shipping_charged_cents": 500} for n in range(len(days))],
        weights=[{"parcel_id": f"P{n}", "sale_id": f"S{n}", "shipped_on": day} for n, day in enumerate(days)],
        charges=[
            {"parcel_id": f"P{n}", "charge_kind": "base", "amount_cents": 900 if day < "2026-10" else 1_000}
            for n, day in enumerate(days)
        ],
    ) as connection:
        analysing.analyse(connection, {}, MINE)
        steps = rows(
            connection,
            "select bridge_step, margin_step_change_cents as cents from analysis.margin_bridge "
            "where margin_step_change_cents <> 0 order by step_number",
        )
        (action,) = rows(connection, "select * from analysis.actions")
    assert steps == [{"bridge_step": "base price", "cents": -2_400}, {"bridge_step": "all steps", "cents": -2_400}]
    assert (action["action_kind"], action["named"]) == ("charge", "tripod")
    assert action["saving_month_cents"] == (24 * 400 + 24 * 500) // 2
    assert action["confidence_words"] == "about even"
