"""What a claim cost, net of what the carrier pays."""

from __future__ import annotations

from typing import Any

import pandas as pd

from models.damage.losses import lost_cents, recovered_share, severity_cents


def claims(**columns: list[Any]) -> pd.DataFrame:
    size = len(next(iter(columns.values())))
    amounts = ("claimed", "paid", "claim_cost")
    empty = {f"{name}_cents": pd.array([None] * size, dtype="Int64") for name in amounts}
    return pd.DataFrame(
        {"claim_state": ["paid"] * size, **empty}
        | {name: pd.array(cells, dtype=None if name == "claim_state" else "Int64") for name, cells in columns.items()}
    )


def test_net_loss_counts_what_is_known() -> None:
    rows = claims(
        claim_cost_cents=[21350 + 1720 - 4000, 9000 - 100], paid_cents=[18900, None], claim_state=["paid", "refused"]
    )
    assert severity_cents(rows, handling_cents=250).tolist() == [420, 9150]


def test_an_open_claim_expects_the_shops_usual_recovery() -> None:
    rows = claims(
        claimed_cents=[10000, 10000, 8001, 5000],
        paid_cents=[10000, None, None, None],
        claim_cost_cents=[10000, 10000, 8001, 5000],
        claim_state=["paid", "refused", "filed", "withdrawn"],
    )
    assert recovered_share(rows) == 0.5
    assert severity_cents(rows).tolist() == [0, 10000, 8001 - 4000, 5000]


def test_no_decided_claim_expects_no_recovery() -> None:
    assert severity_cents(claims(claim_cost_cents=[700], claimed_cents=[700], claim_state=["filed"])).tolist() == [700]


def test_what_was_lost_before_the_carrier_paid() -> None:
    assert lost_cents(claims(claim_cost_cents=[19970]), handling_cents=250).tolist() == [20220]
