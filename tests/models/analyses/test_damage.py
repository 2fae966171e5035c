"""Rates, months and comparisons from given parcels and claims."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.analyses.damage_model import damage_model
from models.analyses.damage_records import damage_records, records_known_on
from tests.damage_shops import answered, claims, only, parcels, question
from tests.sampling import tries


def test_claims_count_by_cause_once_per_parcel_and_within_the_window() -> None:
    sent = parcels(40)
    lost = claims(sent[1:2], claim_cause="loss")
    asked = question(sent, [*claims(sent[:1]), *claims(sent[:1], lag_days=30), *lost, *claims(sent[2:3], lag_days=130)])
    # Both claims on the first parcel name it, so it counts once, by the first of them.
    losses = asked.tables["marts.claim_losses"]
    losses.loc[1, "parcel_id"] = losses["parcel_id"].loc[0]
    assert only(answered(asked, "damage")["analysis.damage_rates"])["claim_count"] == 1
    both = question(sent, [*claims(sent[:1]), *lost], causes=["damage", "loss"])
    assert only(answered(both, "damage")["analysis.damage_rates"])["claim_count"] == 2


def test_the_records_of_an_earlier_day_are_those_of_a_shop_that_ended_then() -> None:
    """By leaving out what came later. Twenty parcels have a second claim, four weeks after the first."""
    sent, day = parcels(400), pd.Timestamp("2026-05-31")
    reported = [*claims(sent[::7], lag_days=12), *claims(sent[::7][10:30], lag_days=40)]
    whole = question(sent, reported)
    losses, cells = whole.tables["marts.claim_losses"], whole.tables["marts.exposure_cells"]
    second = losses.index[-20:]
    losses.loc[second, "parcel_id"] = losses["parcel_id"].iloc[10:30].to_numpy()
    kept = {
        "marts.claim_losses": losses[losses["opened_on"] <= day],
        "marts.exposure_cells": cells[cells["shipped_on"] <= day],
    }
    wanted = damage_records(replace(whole, tables={**whole.tables, **kept}, as_of=day.date(), worked_out={}))
    before, now = records_known_on(whole, [day.date(), whole.as_of])
    pd.testing.assert_frame_equal(before.cells, wanted.cells)
    pd.testing.assert_frame_equal(before.claims.reset_index(drop=True), wanted.claims.reset_index(drop=True))
    assert before.curve.cumulative.tolist() == wanted.curve.cumulative.tolist()
    assert len(before.claims) < len(now.claims) == len(sent[::7])


def test_the_latest_month_is_not_understated() -> None:
    # Every parcel of a day has the same fate: one in ten is claimed, after 20 or 40 days in turn.
    sent = parcels(1_200, days=300)
    broken = [*claims(sent[::20], lag_days=20), *claims(sent[10::20], lag_days=40)]
    as_of = pd.Timestamp("2026-10-28")
    seen = [row for row in broken if row["opened_on"] <= as_of]
    rows = answered(question(sent, seen, as_of="2026-10-28"), "damage")["analysis.monthly_damage"]
    last = only(rows, shipped_month=pd.Timestamp("2026-09-01"))
    assert last["crude_claim_rate"] < 0.08
    assert last["damage_rate"] == pytest.approx(0.1, abs=0.01)
    assert last["damage_rate_low"] < 0.1 < last["damage_rate_high"]
    assert only(rows, shipped_month=pd.Timestamp("2026-03-01"))["reported_share"] == 1.0


def test_parcels_sent_after_the_last_file_of_claims_are_not_at_risk_on_record() -> None:
    """One parcel in ten is claimed, after 10 or 20 days in turn; the last file of claims came seven weeks ago."""
    sent = parcels(1_200, days=300)
    broken = [*claims(sent[::20], lag_days=10), *claims(sent[10::20], lag_days=20)]
    seen = [row for row in broken if row["opened_on"] <= pd.Timestamp("2026-09-09")]
    asked = question(sent, seen, as_of="2026-10-28", claims_to=None)
    record = pd.DataFrame({"reported_on": [seen[-1]["opened_on"]], "imported_on": [pd.Timestamp("2026-09-10")]})
    known = replace(asked, tables={**asked.tables, "claims_record": record}, worked_out={})
    whole = question(sent, seen, as_of="2026-10-28")
    august, without, taken_whole = (
        only(answered(each, "damage")["analysis.monthly_damage"], shipped_month=pd.Timestamp("2026-08-01"))[
            "damage_rate"
        ]
        for each in (known, asked, whole)
    )
    assert [august, without] == pytest.approx([0.1, 0.1], abs=0.025)
    assert taken_whole < min(august, without) - 0.005
    found = damage_records(known)
    assert found.claims_to <= pd.Timestamp("2026-09-10")
    late = found.cells[found.cells["shipped_on"] > "2026-09-10"]
    assert 0.0 <= late["exposure"].sum() < 0.1 * late["parcel_count"].sum()
    shown = answered(known, "damage")["analysis.reporting_lag"].iloc[0]
    assert (shown["claims_to_source"], shown["records_to"]) == ("import", pd.Timestamp("2026-10-28"))


def test_months_cells_and_claims_to_come_are_of_one_model() -> None:
    """Parcels times adjusted rate are as many claims by month as by item type and method, and those still to come are
    their part that is not reported yet."""
    tubes, tins = parcels(600, item_type="tube"), parcels(500, item_type="tin", packing_method="foam")
    reported = [
        row for row in claims([*tubes[::20], *tins[::30]], lag_days=25) if f"{row['opened_on']:%m-%d}" <= "08-28"
    ]
    asked = question([*tubes, *tins], reported, as_of="2026-08-28")
    tables = answered(asked, "damage")
    by_cell, by_month = (
        float((rows["parcel_count"] * rows["shrunk_rate"]).sum())
        for rows in (tables["analysis.damage_rates"], tables["analysis.monthly_damage"])
    )
    assert by_cell == pytest.approx(by_month, rel=1e-6)
    rows, drawn = damage_model(asked, damage_records(asked).recent()).to_come()
    to_come = pd.Series(drawn.mean(axis=0), index=rows["shipped_month"]).groupby(level=0).sum()
    # A claim comes after 25 days, so of June's parcels none is missing, and of August's nearly all.
    assert to_come[pd.Timestamp("2026-06-01")] < 0.3
    august = only(tables["analysis.monthly_damage"], shipped_month=pd.Timestamp("2026-08-01"))
    assert to_come[pd.Timestamp("2026-08-01")] == pytest.approx(august["parcel_count"] * august["shrunk_rate"], rel=0.3)
    assert len(reported) + to_come.sum() == pytest.approx(by_cell, rel=0.1)


def test_goods_that_are_not_known_do_not_tell_methods_apart() -> None:
    sent, broken = [], []
    for item_type, method, count, claimed in (
        *(("tube", "foam", 300, 12), ("tube", "paper", 300, 24)),
        *(("unknown", "foam", 300, 60), ("unknown", "paper", 300, 3)),
    ):
        group = parcels(count, item_type=item_type, packing_method=method)
        sent += group
        broken += claims(group[:claimed])
    asked = question(sent, broken)
    pair = only(answered(asked, "damage")["analysis.method_comparison"])
    assert pair["adjusted_ratio"] == pytest.approx(0.5, abs=1e-6)
    # Were the unknown goods counted, foam would seem to break several times as much.
    assert pair["pooled_ratio"] < 1.2


def test_a_method_used_on_fragile_goods_looks_worse_and_is_better() -> None:
    tubes = [("tube", "foam", 400, 24), ("tube", "paper", 50, 6)]
    tins = [("tin", "foam", 50, 1), ("tin", "paper", 400, 16)]
    sent, broken = [], []
    for item_type, method, count, claimed in (*tubes, *tins):
        group = parcels(count, item_type=item_type, packing_method=method)
        sent += group
        broken += claims(group[:claimed])
    pair = only(answered(question(sent, broken), "damage")["analysis.method_comparison"])
    assert (pair["method_a"], pair["method_b"]) == ("foam", "paper")
    # Crude (25 / 450) / (22 / 450); within item types 24/400 : 6/50 and 1/50 : 16/400, each one half.
    assert pair["crude_ratio"] == pytest.approx(25 / 22, abs=1e-6)
    assert pair["adjusted_ratio"] == pytest.approx(0.5, abs=1e-6)
    assert pair["is_reversed"]
    assert pair["ratio_low"] < 0.5 < pair["ratio_high"]
    assert pair["logistic_low"] < pair["logistic_ratio"] < pair["logistic_high"] < 1.2


def test_what_went_with_a_method_is_blamed_only_where_something_did() -> None:
    """One shop twice, few claims: both methods by one carrier, and each by its own. Only the second is entangled; in
    the first the difference is simply not proven, since packing the same goods both ways is what it did."""

    def pair(foam_by: str) -> dict[str, Any]:
        sent, broken = [], []
        for item_type, method, claimed in (("x", "foam", 1), ("x", "paper", 9), ("y", "foam", 3), ("y", "paper", 4)):
            carrier = foam_by if method == "foam" else "Northline"
            group = parcels(150, item_type=item_type, packing_method=method, carrier=carrier)
            sent += group
            broken += claims(group[:: 150 // claimed][:claimed])
        return only(answered(question(sent, broken), "damage")["analysis.method_comparison"])

    balanced, apart = pair("Northline"), pair("Southline")
    # The goods' own strata show a difference in both, and the model of all that happened holds to it in neither.
    assert balanced["q_value"] == apart["q_value"] < 0.05
    assert balanced["pooled_low"] < 1.0 < balanced["pooled_high"] and apart["pooled_low"] < 1.0 < apart["pooled_high"]
    assert [(each["is_different"], each["is_entangled"]) for each in (balanced, apart)] == [
        (False, False),
        (False, True),
    ]


def test_severity_is_what_was_lost_less_what_carriers_pay() -> None:
    tubes, tins = parcels(60, item_type="tube"), parcels(60, item_type="tin", packing_method="foam")
    broken = [*claims(tubes[:20], claim_cost_cents=30_000), *claims(tins[:30], claim_cost_cents=2_000)]
    paid = [row | {"paid_cents": row["claim_cost_cents"] // 2, "claim_state": "paid in part"} for row in broken]
    for claimed, kept in ((broken, 1.0), (paid, 0.5)):
        rows = answered(question([*tubes, *tins], claimed), "damage")["analysis.severity"].set_index("item_type")
        for item_type, lost in {"tube": 30_000, "tin": 2_000}.items():
            row = rows.loc[item_type]
            assert row["gross_loss_cents"] == pytest.approx(lost, rel=0.05)
            assert row["severity_cents"] == pytest.approx(kept * lost, rel=0.07)
            assert row["severity_low_cents"] < row["severity_cents"] < row["severity_high_cents"]
        assert rows["recovered_share"].tolist() == pytest.approx([1.0 - kept] * 2, abs=0.05)


def test_goods_without_claims_lose_the_share_of_their_worth_that_others_do() -> None:
    tubes, tins = parcels(60, item_type="tube"), parcels(60, item_type="tin")
    month = {"shipped_month": pd.Timestamp("2026-03-01"), "parcel_count": 60}
    worths = [
        month | {"item_type": name, "worth_cents": 60 * each} for name, each in (("tube", 40_000), ("tin", 5_000))
    ]
    asked = question([*tubes, *tins], claims(tubes[:25], claim_cost_cents=20_000), worths=worths)
    rows = answered(asked, "damage")["analysis.severity"]
    tube, tin = (only(rows, item_type=name) for name in ("tube", "tin"))
    assert tube["severity_cents"] == pytest.approx(20_000, rel=0.05)
    assert 1_500 < tin["severity_cents"] < 4_500
    assert tin["severity_high_cents"] > 1.5 * tin["severity_cents"]


def test_dear_parcels_that_were_claimed_do_not_make_all_of_them_dear() -> None:
    """Claims came on parcels worth 40,000, where the item type's are worth 10,000: half of the worth was lost."""
    sent = parcels(60)
    worths = [{"item_type": "tripod", "shipped_month": pd.Timestamp("2026-03-01")} | {"parcel_count": 60}]
    worths = [worths[0] | {"worth_cents": 60 * 10_000}]
    own = [{"parcel_id": f"P{at}", "worth_cents": 40_000} for at in range(20)]
    asked = question(sent, claims(sent[:20], claim_cost_cents=20_000), worths=worths, claimed_worths=own)
    (severity,) = answered(asked, "damage")["analysis.severity"]["severity_cents"]
    assert severity == pytest.approx(5_000, rel=0.05)


def test_an_open_claim_that_cost_nothing_yet_does_not_tell_what_a_claim_costs() -> None:
    sent = parcels(60)
    shown, fresh = (
        claims(sent[:20], claim_cost_cents=20_000),
        claims(sent[20:30], claim_cost_cents=0, claim_state="filed"),
    )
    fresh = [row | {"paid_cents": None} for row in fresh]
    (severity,) = answered(question(sent, [*shown, *fresh]), "damage")["analysis.severity"]["severity_cents"]
    assert severity == pytest.approx(20_000, rel=0.05)


@settings(derandomize=True, deadline=None, max_examples=tries(10))
@given(
    sizes=st.lists(st.tuples(st.integers(0, 40), st.integers(0, 40)), min_size=1, max_size=4),
    lag_days=st.integers(0, 120),
    age=st.integers(0, 300),
)
def test_parcels_and_claims_are_conserved_and_rates_stay_within_one(
    sizes: list[tuple[int, int]], lag_days: int, age: int
) -> None:
    sent, broken = [], []
    for number, (count, claimed) in enumerate(sizes):
        group = parcels(count, item_type=f"type {number % 2}", packing_method=f"method {number}")
        sent += group
        broken += claims(group[:claimed], lag_days=lag_days)
    as_of = pd.Timestamp("2026-01-01") + pd.Timedelta(days=age)
    known = [row for row in sent if row["shipped_on"] <= as_of]
    seen = [row for row in broken if row["opened_on"] <= as_of]
    tables = answered(question(sent, seen, as_of=f"{as_of:%Y-%m-%d}"), "damage")
    for name in ("analysis.damage_rates", "analysis.monthly_damage"):
        rows = tables[name]
        assert rows["parcel_count"].sum() == len(known)
        assert rows["claim_count"].sum() == len(seen)
        assert (rows["exposure"] >= rows["claim_count"]).all()
        assert rows["damage_rate"].between(rows["damage_rate_low"], rows["damage_rate_high"]).all()
        assert rows["damage_rate"].between(0, 1).all()
