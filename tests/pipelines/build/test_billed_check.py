"""The billed check on the demo shop: every planted fault is found with its class and its cents, and nothing else."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pandas as pd
import pytest

from pipelines.shop import warehouse

TRUTH = Path(__file__).parents[3] / "sample_data" / "truth.toml"
# Topic of the truth, class under which it must be found, the column with its cents.
PLANTED = (
    ("wrong_surcharge", "surcharge not justified", "overcharge_cents"),
    ("wrong_zone", "wrong zone", "overcharge_cents"),
    ("fuel_on_wrong_base", "fuel base", "overcharge_cents"),
    ("measured_again", "sides re-measured", "extra_cents"),
    ("duplicate_lines", "duplicate line", "amount_cents"),
)
LATER = {"ADJUSTMENT": "adjustment without cause", "ADDRESS FIX": "fixed fee", "ADJUST SIZE": "sides re-measured"}


@pytest.fixture(scope="module")
def truth() -> dict[str, Any]:
    return tomllib.loads(TRUTH.read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def found(demo: warehouse.Connection) -> pd.DataFrame:
    """Cents by parcel and class."""
    return demo.execute(
        "select parcel_id, difference_class, cast(sum(difference_cents) as bigint) as cents "
        "from marts.billing_differences where difference_class <> 'not rated' group by all"
    ).df()


@pytest.mark.parametrize(("topic", "cause", "amount"), PLANTED)
def test_planted_faults_are_found_to_the_cent(
    found: pd.DataFrame, truth: dict[str, Any], topic: str, cause: str, amount: str
) -> None:
    # A parcel measured again whose price stayed the same was billed as expected.
    planted = {row["parcel_id"]: row[amount] for row in truth[topic] if row[amount]}
    of_cause = found[found["difference_class"] == cause]
    assert dict(zip(of_cause["parcel_id"], of_cause["cents"], strict=True)) == planted
    assert len(planted) >= 10


@pytest.mark.parametrize("code", sorted(LATER))
def test_later_corrections_are_told_apart(found: pd.DataFrame, truth: dict[str, Any], code: str) -> None:
    planted = {row["parcel_id"] for row in truth["later_lines"] if row["charge_code"] == code}
    raised = {row["parcel_id"] for row in truth["later_lines"] if row["amount_cents"] > 0} & planted
    assert raised <= set(found[found["difference_class"] == LATER[code]]["parcel_id"])


def _planted(truth: dict[str, Any]) -> Iterator[str]:
    for topic in (*(each[0] for each in PLANTED), "later_lines"):
        yield from (row["parcel_id"] for row in truth[topic])


def test_parcels_billed_rightly_raise_no_alarm(found: pd.DataFrame, truth: dict[str, Any]) -> None:
    assert set(found["parcel_id"]) - set(_planted(truth)) == set()
    assert {"unknown", "rounding", "surcharge missing"} & set(found["difference_class"]) == set()


def test_parcels_that_cannot_be_rated_are_listed_with_what_is_lacking(
    demo: warehouse.Connection, truth: dict[str, Any]
) -> None:
    listed = demo.execute(
        "select parcel_id, charge_name, expected_cents, difference_cents from marts.billing_differences "
        "where difference_class = 'not rated'"
    ).df()
    without_log = set(truth["shop"]["parcels_without_bench_log"])
    assert set(listed[listed["charge_name"] == "sides unknown"]["parcel_id"]) == without_log
    assert 0 < (listed["charge_name"] == "weight unknown").sum() <= truth["shop"]["parcels_without_scale_weight"]
    assert listed["expected_cents"].isna().all()
    assert listed["difference_cents"].isna().all()


def test_what_the_carrier_put_right_itself_is_tied_and_closed(
    demo: warehouse.Connection, truth: dict[str, Any]
) -> None:
    disputes = demo.execute("select * from marts.billing_disputes").df().set_index("dispute_id")
    for row in truth["wrong_surcharge"]:
        dispute = disputes.loc[f"{row['parcel_id']}/surcharge-not-justified"]
        assert dispute["over_cents"] == row["overcharge_cents"]
        assert dispute["charge_name"] == row["surcharge"]
        assert dispute["outstanding_cents"] == (0 if row["is_credited_back"] else row["overcharge_cents"])
        assert not (row["is_credited_back"] and dispute["is_disputable"])


def test_a_correction_names_the_line_that_it_corrects(demo: warehouse.Connection, truth: dict[str, Any]) -> None:
    disputes = demo.execute("select * from marts.billing_disputes").df()
    repeated = disputes[disputes["difference_class"] == "duplicate line"].set_index("parcel_id")
    for row in truth["duplicate_lines"]:
        dispute = repeated.loc[row["parcel_id"]]
        assert (dispute["line_number"], dispute["corrected_line_number"]) == (row["line_number"], row["same_as"])
    later = disputes[disputes["invoice_number"] != disputes["corrected_invoice_number"]]
    assert set(later["difference_class"]) == {"adjustment without cause", "fixed fee", "sides re-measured"}


def test_the_last_day_follows_the_carriers_own_window(demo: warehouse.Connection) -> None:
    disputes = demo.execute("select * from marts.billing_disputes").df().set_index("carrier")
    northline, corvane = disputes.loc["Northline"], disputes.loc["Corvane"]
    assert set((northline["last_dispute_on"] - northline["invoiced_on"]).dt.days) == {60}
    assert set((corvane["last_dispute_on"] - corvane["shipped_on"]).dt.days) == {45}
    known_on = (
        demo.execute("select max(last_on) from marts.record_states where kind in ('weights', 'charges', 'claims')")
        .df()
        .iloc[0, 0]
    )
    assert (disputes[disputes["is_disputable"]]["last_dispute_on"] >= known_on).all()
    assert disputes["is_disputable"].any()


def test_totals_are_kept(demo: warehouse.Connection) -> None:
    """What was billed is what was expected and every difference; for a parcel without fault both are equal."""
    apart = demo.execute(
        "with over as (select parcel_id, sum(difference_cents) as cents from marts.billing_differences "
        "where charge_kind <> 'adjustment' group by parcel_id), "
        "billed as (select parcel_id, sum(amount_cents) as cents from core.charge_lines "
        "where charge_kind in ('base', 'surcharge', 'fuel') group by parcel_id) "
        "select r.request_id, r.sides_source from billed as b "
        "inner join rating.priced as p on p.request_id = b.parcel_id "
        "inner join rating.requests as r on r.request_id = b.parcel_id "
        "left join over as o on o.parcel_id = b.parcel_id "
        "where p.lacking is null and b.cents <> p.expected_cents + coalesce(o.cents, 0)"
    ).df()
    # A parcel that the bench did not measure is checked by the billed sides; its expectation rests on an estimate.
    assert set(apart["sides_source"]) <= {"learned", "carton"}
    assert len(apart) < 20
