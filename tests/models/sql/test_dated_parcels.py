"""The day and month in which a parcel counts, and what says so; days of an invoice are never taken for shipping."""

from __future__ import annotations

import datetime as dt
import random
from collections import Counter
from collections.abc import Iterator
from typing import Any

import pytest

from models.sql_texts import sql_texts
from pipelines.shop import warehouse
from tests.models.tariffs.price_lists import parsed, prices_text, rules_text, without_terms
from tests.shops import built, rows

FIRST, SALES = dt.date(2026, 9, 1), 90


def base(parcel: str, invoiced_on: str, **more: Any) -> dict[str, Any]:
    return {"parcel_id": parcel, "charge_kind": "base", "amount_cents": 600, "invoiced_on": invoiced_on, **more}


@pytest.fixture(scope="module")
def shop() -> Iterator[warehouse.Connection]:
    """Each parcel is dated by another record; all but the last are billed in November."""
    with built(
        item_types=[{"item_type": "tripod"}],
        sales=[{"sale_id": "S-invoice", "parcel_id": "INVOICE", "deliver_by": "2026-10-20"}],
        weights=[
            {"parcel_id": "BENCH", "sale_id": "S1", "shipped_on": "2026-10-28"},
            {"parcel_id": "BENCH-NO-DAY", "sale_id": "S2", "shipped_on": None},
        ],
        charges=[
            *(base(each, "2026-11-03") for each in ("BENCH", "BENCH-NO-DAY", "SCAN", "LABEL", "INVOICE")),
            base("STATED", "2026-11-03", shipped_on="2026-10-30"),
            # A later correction is not the day either.
            {**base("INVOICE", "2026-11-17"), "charge_kind": "adjustment"},
        ],
        labels=[
            {"parcel_id": "SCAN", "bought_on": "2026-10-29", "first_scan_on": "2026-10-31"},
            {"parcel_id": "LABEL", "bought_on": "2026-10-29"},
        ],
        claims=[
            {"claim_id": "C1", "parcel_id": "INVOICE", "opened_on": "2026-11-01", "claim_state": "reported"},
            {"claim_id": "C2", "parcel_id": "CLAIM", "opened_on": "2026-11-09"},
            {"claim_id": "C3", "parcel_id": "SCAN", "opened_on": "2026-11-09", "claim_state": "reported"},
        ],
    ) as connection:
        yield connection


def test_what_dates_a_parcel_is_said_and_the_nearest_to_shipping_wins(shop: warehouse.Connection) -> None:
    found = rows(shop, "select parcel_id, cast(shipped_on as varchar) as day, dated_by from core.parcels")
    assert {row["parcel_id"]: (row["day"], row["dated_by"]) for row in found} == {
        "BENCH": ("2026-10-28", "shipping"),
        "STATED": ("2026-10-30", "shipping"),
        "SCAN": ("2026-10-31", "label"),
        "LABEL": ("2026-10-29", "label"),
        "INVOICE": ("2026-11-03", "invoice"),
        "BENCH-NO-DAY": ("2026-11-03", "invoice"),
        "CLAIM": ("2026-11-09", "claim"),
    }


def test_the_month_counts_the_parcels_that_only_an_invoice_dates(shop: warehouse.Connection) -> None:
    counted = "parcel_count, dated_by_invoice_count, dated_by_claim_count"
    asked = f"select month(shipped_month) as month, {counted} from marts.coverage order by 1"
    assert [tuple(row.values()) for row in rows(shop, asked)] == [(10, 4, 0, 0), (11, 3, 2, 1)]


def test_no_day_of_an_invoice_is_taken_for_shipping(shop: warehouse.Connection) -> None:
    """Neither a claim's deadline, nor a carrier's delay, nor a late parcel is reckoned from it."""
    waits = rows(shop, "select parcel_id, shipped_on is null as is_unknown, claim_due_on from marts.claim_deadlines")
    filed = {row["parcel_id"]: (row["is_unknown"], row["claim_due_on"]) for row in waits}
    assert filed == {"INVOICE": (True, None), "SCAN": (False, None)}
    delays = rows(shop, "select delay_days, first_billed_count from marts.invoice_delays order by 1")
    assert [tuple(row.values()) for row in delays] == [(3, 1), (4, 1), (5, 1), (6, 1)]
    assert rows(shop, "select * from analysis.warnings where warning = 'shipped after promise'") == []


def test_terms_that_count_from_shipping_end_only_where_the_day_is_known() -> None:
    """Sixty days each. Both parcels are billed a pound too many; of one the bench log states no day."""
    text = rules_text().replace('dispute_from = "invoiced_on"', 'dispute_from = "shipped_on"')
    lane = {"carrier": "trial", "service": "plain", "zone": "2"}
    packed = {**lane, "length_in": 20, "width_in": 8, "height_in": 8, "scale_weight_lb": 11}
    days = {"DAY": "2026-10-01", "NO-DAY": None}
    with built(
        price_lists=[parsed("trial.toml", text, lambda name: prices_text())],
        item_types=[{"item_type": "tripod"}],
        sales=[{"sale_id": each} for each in days],
        weights=[{**packed, "parcel_id": each, "sale_id": each, "shipped_on": day} for each, day in days.items()],
        charges=[base(each, "2026-10-09", **lane, billed_weight_lb=12) | {"amount_cents": 1_200} for each in days],
        claims=[{"claim_id": each, "parcel_id": each, "claim_state": "reported"} for each in days],
    ) as connection:
        disputes = rows(connection, "select parcel_id, last_dispute_on, is_disputable from marts.billing_disputes")
        claims = rows(connection, "select parcel_id, claim_due_on, claim_task from marts.claim_deadlines")
        steps = rows(connection, f"select parcel_id, shipped_on from ({sql_texts('queries')['open_claims']})")
    last = dt.date(2026, 11, 30)
    assert {tuple(row.values()) for row in disputes} == {("DAY", last, True), ("NO-DAY", None, True)}
    assert {tuple(row.values()) for row in claims} == {("DAY", last, "file"), ("NO-DAY", None, "file")}
    assert {tuple(row.values()) for row in steps} == {("DAY", dt.date(2026, 10, 1)), ("NO-DAY", None)}


def test_a_list_that_states_no_terms_knows_no_deadline() -> None:
    """A year after shipping neither the dispute nor the claim is too late: nobody knows."""
    text = without_terms(rules_text())
    lane = {"carrier": "trial", "service": "plain", "zone": "2"}
    packed = {**lane, "length_in": 20, "width_in": 8, "height_in": 8, "scale_weight_lb": 11}
    billed = {**lane, "billed_weight_lb": 12, "amount_cents": 1_200}
    claim = {"claim_id": "C1", "parcel_id": "OLD", "opened_on": "2025-10-20", "refund_cents": 4_000}
    with built(
        price_lists=[parsed("trial.toml", text, lambda name: prices_text())],
        item_types=[{"item_type": "tripod"}],
        sales=[{"sale_id": "OLD"}, {"sale_id": "NEW"}],
        weights=[
            {**packed, "parcel_id": "OLD", "sale_id": "OLD", "shipped_on": "2025-10-01"},
            {**packed, "parcel_id": "NEW", "sale_id": "NEW", "shipped_on": "2026-10-01"},
        ],
        charges=[base("OLD", "2025-10-09", **billed), base("NEW", "2026-10-09", **billed)],
        claims=[claim | {"claim_state": "reported"}],
    ) as connection:
        disputes = rows(connection, "select parcel_id, last_dispute_on, is_disputable from marts.billing_disputes")
        claims = rows(connection, "select claim_due_on, days_left, is_in_time, claim_task from marts.claim_deadlines")
        steps = rows(connection, f"select claim_id, claim_step from ({sql_texts('queries')['open_claims']})")
        (action,) = rows(connection, sql_texts("queries")["action_claims"])
    assert {tuple(row.values()) for row in disputes} == {("OLD", None, True), ("NEW", None, True)}
    assert [tuple(row.values()) for row in claims] == [(None, None, None, "file")]
    assert steps == [{"claim_id": "C1", "claim_step": None}]
    assert (action["undated_claim_count"], action["undated_opened_on"]) == (1, dt.date(2025, 10, 20))


@pytest.mark.parametrize("seed", range(3))
def test_a_shop_without_days_counts_each_parcel_in_the_month_of_its_first_invoice(seed: int) -> None:
    """Sales, invoices and claims alone, against a count in plain Python."""
    draw = random.Random(seed)
    sold = [FIRST + dt.timedelta(days=draw.randrange(61)) for _ in range(SALES)]
    billed = [day + dt.timedelta(days=draw.randint(2, 12)) for day in sold]
    with built(
        needed=("marts.coverage", "marts.invoice_delays"),
        item_types=[{"item_type": "tripod"}],
        sales=[{"sale_id": f"S{n}", "parcel_id": f"P{n}", "sold_at": f"{day} 09:00:00"} for n, day in enumerate(sold)],
        charges=[base(f"P{n}", str(day)) for n, day in enumerate(billed)],
        claims=[{"claim_id": "C1", "parcel_id": "P0", "opened_on": str(billed[0])}],
    ) as connection:
        found = rows(connection, "select * from marts.coverage")
        assert rows(connection, "select * from marts.invoice_delays") == []
    months = Counter(day.replace(day=1) for day in billed)
    shown = {row["shipped_month"]: (row["parcel_count"], row["dated_by_invoice_count"]) for row in found}
    assert shown == {month: (count, count) for month, count in months.items()}
    assert months != Counter(day.replace(day=1) for day in sold)
