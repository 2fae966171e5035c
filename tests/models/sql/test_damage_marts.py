"""Exposure, claims, deadlines and weekly charges from given records."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from tests.models.tariffs.price_lists import parsed, prices_text, rules_text
from tests.shops import built, rows

DAY = "2026-10-05"  # a Monday


def bench(parcel: str, **more: Any) -> dict[str, Any]:
    return {"parcel_id": parcel, "sale_id": f"S{parcel}", "shipped_on": DAY, "packing_method": "foam"} | more


def sold(*parcels: str) -> list[dict[str, Any]]:
    return [{"sale_id": f"S{parcel}"} for parcel in parcels]


def base(parcel: str, invoice: str = "I1", **more: Any) -> dict[str, Any]:
    return {"parcel_id": parcel, "charge_kind": "base", "amount_cents": 900, "invoice_number": invoice} | more


def test_a_parcel_counts_once_for_each_cause_and_one_that_only_a_claim_knows_not_at_all() -> None:
    claimed = [("C1", "P1", "damage"), ("C2", "P1", "damage"), ("C3", "P1", "delay"), ("C4", "P2", "loss")]
    claimed.append(("C5", "nobody", "damage"))
    with built(
        sales=sold("P1", "P2", "P3"),
        weights=[bench("P1"), bench("P2"), bench("P3", zone="8", packing_method=None)],
        claims=[{"claim_id": name, "parcel_id": parcel, "claim_cause": cause} for name, parcel, cause in claimed],
    ) as connection:
        found = rows(
            connection,
            "select packing_method, zone_band, parcel_count, damage_count, loss_count, other_claim_count "
            "from marts.exposure_cells order by packing_method",
        )
        lags = rows(connection, "select claim_id, reporting_lag_days from marts.claim_losses order by claim_id")
    assert [tuple(row.values()) for row in found] == [
        ("foam", "zones 4 and 5", 2, 1, 1, 1),
        ("unknown", "zones 6 and more", 1, 0, 0, 0),
    ]
    assert [tuple(row.values()) for row in lags] == [("C1", 15), ("C2", 15), ("C3", 15), ("C4", 15)]


# What a claim says, and the task, days waited and cents still to be had that follow on 2026-10-31.
CLAIMS: tuple[tuple[dict[str, Any], tuple[str, int | None, int] | None], ...] = (
    ({"claim_state": "reported", "opened_on": "2026-10-08", "refund_cents": 5_000}, ("file", 23, 5_000)),
    ({"claim_state": "filed", "opened_on": "2026-10-01", "filed_on": "2026-10-01"}, ("ask", 30, 7_000)),
    ({"claim_state": "filed", "opened_on": "2026-10-01", "filed_on": "2026-10-02"}, None),  # 29 days are not enough
    ({"claim_state": "paid", "decided_on": "2026-10-30", "paid_cents": 3_000}, ("contest", 1, 4_000)),
    ({"claim_state": "paid", "decided_on": "2026-10-30", "paid_cents": 7_000}, None),
    ({"claim_state": "refused", "decided_on": "2026-10-30"}, None),
    ({"claim_state": "reported", "claim_cause": "delay"}, None),
    # Of these no record says when it was filed, appealed or decided: since when it waits is not known.
    ({"claim_state": "filed", "opened_on": "2026-10-01"}, ("ask", None, 7_000)),
    ({"claim_state": "appealed", "opened_on": "2026-10-01"}, ("ask", None, 7_000)),
    ({"claim_state": "asked", "opened_on": "2026-10-01", "filed_on": "2026-10-01"}, ("ask", None, 7_000)),
    ({"claim_state": "paid", "opened_on": "2026-10-01", "paid_cents": 3_000}, ("contest", None, 4_000)),
)


def test_claims_that_want_something_done() -> None:
    said = [{"claimed_cents": None if claim["claim_state"] == "reported" else 7_000} | claim for claim, _ in CLAIMS]
    with built(
        sales=sold("P1"),
        weights=[bench("P1", shipped_on="2026-10-01")],
        claims=[{"claim_id": f"C{at}", "parcel_id": "P1"} | claim for at, claim in enumerate(said)],
        charges=[base("P1", invoiced_on="2026-10-31")],
    ) as connection:
        found = {row["claim_id"]: row for row in rows(connection, "select * from marts.claim_deadlines")}
    wanted = {f"C{at}": expected for at, (_, expected) in enumerate(CLAIMS) if expected}
    reported = ("claim_task", "days_waiting", "open_cents")
    assert {name: tuple(row[column] for column in reported) for name, row in found.items()} == wanted
    assert found["C0"]["claim_due_on"] is None  # no tariff says until when


# What the record says of a claim, and what it cost and lost net: a payment is never a gain.
COSTED: tuple[tuple[dict[str, Any], tuple[int, int]], ...] = (
    ({"refund_cents": 6_000, "return_cost_cents": 500, "salvage_cents": 1_000, "paid_cents": 2_000}, (5_500, 3_500)),
    ({"refund_cents": 0, "claimed_cents": 5_400, "paid_cents": 2_700}, (0, -2_700)),  # it is stated that none was spent
    ({"claimed_cents": 5_400, "paid_cents": 2_700}, (5_400, 2_700)),
    ({"claimed_cents": 5_400, "salvage_cents": 1_000}, (4_400, 4_400)),
    ({"paid_cents": 2_700}, (2_700, 0)),
    ({"claimed_cents": 5_400, "claim_state": "withdrawn"}, (0, 0)),
    ({}, (0, 0)),
)


def test_without_a_stated_cost_what_was_claimed_counts_as_the_damage() -> None:
    with built(
        sales=sold("P1"),
        weights=[bench("P1")],
        claims=[{"claim_id": f"C{at}", "parcel_id": "P1"} | claim for at, (claim, _) in enumerate(COSTED)],
    ) as connection:
        found = rows(connection, "select claim_cost_cents, loss_cents from core.claims order by claim_id")
        warned = rows(
            connection, "select row_count from analysis.warnings where warning = 'claims without stated cost'"
        )
        costed = rows(connection, "select damage_net_cents from marts.parcel_costs where parcel_id = 'P1'")
    assert [tuple(row.values()) for row in found] == [expected for _, expected in COSTED]
    assert warned == [{"row_count": 3}]
    assert costed == [{"damage_net_cents": sum(lost for _, (_, lost) in COSTED)}]


# The term of an appeal as a tariff states it, the day of the decision, and the last day, with whether it is still to
# come on 2026-10-31. Working days want a calendar: nothing is known of them here.
APPEALS = (
    ("days = 30", "2026-10-01", dt.date(2026, 10, 31), True),
    ("days = 30", "2026-09-30", dt.date(2026, 10, 30), False),
    ("months = 1", "2026-09-30", dt.date(2026, 10, 30), False),
    ("months = 1", "2026-10-31", dt.date(2026, 11, 30), True),
    ("working_days = 10", "2026-09-01", None, None),
)


@pytest.mark.parametrize(("term", "decided_on", "due_on", "is_in_time"), APPEALS)
def test_the_tariffs_terms_are_the_deadlines(
    term: str, decided_on: str, due_on: dt.date | None, is_in_time: bool | None
) -> None:
    appeal = f'[[claim_terms]]\nstep = "appeal"\n{term}\nfrom = "decided_on"\n'
    text = rules_text("stated", effective_from="2026-08-01") + appeal
    claim = {"parcel_id": "P1", "claimed_cents": 7_000}
    with built(
        price_lists=[parsed("stated.toml", text, lambda name: prices_text())],
        sales=sold("P1"),
        weights=[bench("P1", shipped_on="2026-08-31", carrier="stated")],
        claims=[
            claim | {"claim_id": "new", "claim_state": "reported", "opened_on": "2026-10-31"},
            claim | {"claim_id": "paid", "claim_state": "paid", "decided_on": decided_on, "paid_cents": 3_000},
        ],
    ) as connection:
        new, paid = rows(connection, "select * from marts.claim_deadlines order by claim_id")
    assert (new["claim_due_on"], new["days_left"], new["is_in_time"]) == (dt.date(2026, 10, 30), -1, False)
    assert (paid["claim_task"], paid["claim_due_on"], paid["is_in_time"]) == ("contest", due_on, is_in_time)


def test_weeks_begin_on_monday_within_their_month_and_count_invoiced_parcels_only() -> None:
    with built(
        sales=sold("P1", "P2", "P3", "P4", "P5"),
        weights=[
            *(bench("P1"), bench("P2", shipped_on="2026-10-11"), bench("P3", shipped_on="2026-10-12")),
            *(bench("P4", shipped_on="2026-09-30"), bench("P5", shipped_on="2026-10-01")),
        ],
        charges=[
            base("P1"),
            base("P2"),
            {"parcel_id": "P2", "charge_kind": "surcharge", "charge_code": "LONG SIDE", "amount_cents": 500},
        ],
    ) as connection:
        weekly = rows(connection, "select * from marts.weekly_charges order by week_on, shipped_month")
        marked = rows(connection, "select * from marts.weekly_surcharges")
    before, month, shared = dt.date(2026, 9, 1), dt.date(2026, 10, 1), dt.date(2026, 9, 28)
    first, second = dt.date(2026, 10, 5), dt.date(2026, 10, 12)
    assert [tuple(row.values()) for row in weekly] == [
        ("Northline", "tripod", "ground", before, shared, 1, 0, 0),
        ("Northline", "tripod", "ground", month, shared, 1, 0, 0),
        ("Northline", "tripod", "ground", month, first, 2, 2, 2_300),
        ("Northline", "tripod", "ground", month, second, 1, 0, 0),
    ]
    assert [(row["week_on"], row["charged_parcel_count"]) for row in marked] == [(first, 1)]
