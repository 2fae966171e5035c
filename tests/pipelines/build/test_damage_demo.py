"""Damage in the demo shop: what was planted is found, and what was not is not."""

from __future__ import annotations

import json
import math
import shutil
import tomllib
from pathlib import Path
from typing import Any

import pandas as pd
import pytest

from pipelines.cli import main
from pipelines.shop import warehouse
from tests.damage_shops import only
from tests.shops import rows, table
from tests.without_analyses import without_analyses

SAMPLES = Path(__file__).parents[3] / "sample_data"


@pytest.fixture(scope="module")
def truth() -> dict[str, Any]:
    return tomllib.loads((SAMPLES / "truth.toml").read_text(encoding="utf-8"))


def test_crude_points_the_wrong_way_and_the_adjusted_ratio_holds_the_planted_effect(
    demo: warehouse.Connection, truth: dict[str, Any]
) -> None:
    planted = truth["simpson"]
    pair = only(table(demo, "analysis.method_comparison"), method_a="air cushion", method_b="foam")
    # Ratios are of air cushions to foam; planted is the odds ratio of foam to air cushions.
    wanted = 1 / planted["true_odds_ratio"]
    assert pair["crude_ratio"] < 1 < pair["ratio_low"]
    assert pair["logistic_low"] < wanted < pair["logistic_high"]
    risks = [rates["air cushion"] / rates["foam"] for rates in planted["true_rates"].values()]
    assert pair["ratio_low"] < sum(risks) / len(risks) < pair["ratio_high"]
    assert pair["is_reversed"] and pair["is_different"]
    assert pair["homogeneity_p"] > 0.05  # planted alike in all item types


def test_late_claims_are_allowed_for_in_the_last_three_months(
    demo: warehouse.Connection, truth: dict[str, Any]
) -> None:
    months = table(demo, "analysis.monthly_damage").set_index("shipped_month")
    damaged = truth["late_claims"]["damaged_by_ship_month"]
    for name in ("2026-08", "2026-09", "2026-10"):
        month = months.loc[pd.Timestamp(f"{name}-01")]
        true_rate = damaged[name] / month["parcel_count"]
        assert month["damage_rate_low"] < true_rate < month["damage_rate_high"]
    last = months.loc[pd.Timestamp("2026-10-01")]
    true_rate = damaged["2026-10"] / last["parcel_count"]
    assert last["crude_claim_rate"] < true_rate
    assert abs(last["damage_rate"] - true_rate) < abs(last["crude_claim_rate"] - true_rate)
    assert only(table(demo, "analysis.reporting_lag"), age_days=18)["reported_share"] == pytest.approx(0.5, abs=0.1)


def test_the_change_that_worked_is_a_success_and_the_one_that_did_nothing_is_not(
    demo: warehouse.Connection, truth: dict[str, Any]
) -> None:
    judged = table(demo, "analysis.change_judgements").set_index("item_types")
    planted = {change["item_type"]: change["true_rate_ratio"] for change in truth["changes"]}
    assert judged.loc["tripod", "verdict"] == "worked"
    assert judged.loc["mount head", "verdict"] in ("too early", "no effect seen")
    for item_type, ratio in planted.items():
        assert judged.loc[item_type, "likely_low"] < ratio < judged.loc[item_type, "likely_high"]
    tripod = judged.loc["tripod"]
    assert tripod["measured_low"] < planted["tripod"] < tripod["measured_high"] < 1.0
    assert tripod["judged_on"].is_month_end and tripod["is_final"]


def test_a_build_writes_nothing_into_the_log_of_changes(demo_folder: Path) -> None:
    assert (demo_folder / "decisions.toml").read_bytes() == (SAMPLES / "decisions.toml").read_bytes()


def test_true_rates_lie_within_the_limits_of_the_drawn_rates(demo: warehouse.Connection, truth: dict[str, Any]) -> None:
    found = table(demo, "analysis.damage_rates")
    found = found[found["packing_method"] != "unknown"]
    planted = truth["simpson"]["true_rates"]
    rates = [planted[row.item_type][row.packing_method] for row in found.itertuples()]
    inside = found["shrunk_low"].lt(rates) & found["shrunk_high"].gt(rates)
    # 95 of 100: of 18 cells more than two outside would have a chance of one in seventeen.
    assert (~inside).sum() <= 2


def test_parcels_and_claims_of_the_cells_are_those_of_the_shop(demo: warehouse.Connection) -> None:
    (row,) = rows(
        demo,
        "select (select sum(parcel_count) from marts.exposure_cells) as at_risk, "
        "(select count(*) from core.parcels where has_bench_log or has_charges) as known, "
        "(select sum(parcel_count) from analysis.monthly_damage) as by_month, "
        "(select sum(claim_count) from analysis.monthly_damage) as claims, "
        "(select count(distinct parcel_id) from core.claims where claim_cause = 'damage') as claimed",
    )
    assert row["at_risk"] == row["known"] == row["by_month"]
    assert row["claims"] == row["claimed"]


def test_every_method_is_rated_on_the_same_parcels_and_more_clearance_never_costs_less(
    demo: warehouse.Connection,
) -> None:
    carriage = table(demo, "analysis.method_carriage")
    assert carriage.groupby("parcel_id").size().nunique() == 1
    total = carriage.assign(cents=carriage["carton_cents"] + carriage["postage_cents"])
    wide = total.pivot(index="parcel_id", columns="packing_method", values="cents").dropna()
    assert len(wide) > 1_000
    assert (wide["foam"] >= wide["paper"]).all()  # 1.5 in of clearance against 1 in
    assert (wide["air cushion"] == wide["paper"]).all()


def test_costs_of_a_method_add_up(demo: warehouse.Connection) -> None:
    row: Any
    for row in table(demo, "analysis.packing_decision").itertuples():
        parts = row.packing_cents + row.method_carriage_cents + row.expected_damage_cents
        assert math.isclose(row.total_cents, parts, abs_tol=2)
        gain = row.yearly_gain_cents / row.yearly_parcel_count
        current = only(
            table(demo, "analysis.packing_decision"), item_type=row.item_type, packing_method=row.current_method
        )
        assert math.isclose(gain, current["total_cents"] - row.total_cents, abs_tol=1.5)


def test_claims_to_see_to_are_those_of_the_records(demo: warehouse.Connection) -> None:
    for task in ("file", "contest"):
        condition = {
            "file": "claim_state = 'reported' and filed_on is null",
            "contest": "claim_state in ('paid', 'paid in part') and paid_cents < claimed_cents",
        }[task]
        (row,) = rows(
            demo,
            f"select (select count(*) from core.claims where {condition} "
            "and claim_cause in ('damage', 'loss')) as known, "
            f"(select count(*) from marts.claim_deadlines where claim_task = '{task}') as due",
        )
        assert row["known"] == row["due"] > 0


def test_the_commands_say_it_in_plain_sentences(
    demo_folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "shop"
    shutil.copytree(demo_folder, folder)
    shop = ["--shop", str(folder)]
    assert main([*shop, "damage", "--item-type", "reflector tube"]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "reflector tube: keep foam; it is the cheapest of those compared" in said
    assert "the unadjusted figure points the wrong way" in said
    assert main([*shop, "damage", "--item-type", "globe"]) == 1
    assert "use one of counterweight" in capsys.readouterr().err
    assert main([*shop, "decide", "--judge"]) == 0
    assert "corner blocks instead of paper (tripod, from 1 Mar 2026): worked." in " ".join(
        capsys.readouterr().out.split()
    )
    with pytest.raises(SystemExit, match="2"):
        main([*shop, "decide", "foam", "--item-type", "eyepiece", "--from", "soon"])
    assert "write it as 2026-03-01" in capsys.readouterr().err


@pytest.mark.slow(10)
def test_a_week_of_broken_tripods_raises_an_alarm_until_it_is_acknowledged(
    third: warehouse.Connection, third_folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    alarm = "2026-11-02-damage-tripod"
    assert alarm not in set(table(third, "analysis.alarms")["alarm_id"])
    folder = tmp_path / "shop"
    shutil.copytree(third_folder, folder)
    shop = ["--shop", str(folder)]
    broken = {"reported": "2026-11-04", "what": "broken", "state": "reported", "asked": 90.0}
    claims = [json.dumps({"case": f"W-{row['parcel_id']}", "label": row["parcel_id"]} | broken) for row in sent(third)]
    (folder / "inbox" / "claims-2026-11-12.jsonl").write_text("\n".join(claims), encoding="utf-8")
    with without_analyses("alarms"):
        assert main([*shop, "intake"]) == main([*shop, "watch"]) == 0
        assert f"{alarm}\n" in capsys.readouterr().out
        assert main([*shop, "watch", "--acknowledge", alarm]) == 0
        assert f"{alarm} is acknowledged" in capsys.readouterr().out
        assert main([*shop, "watch"]) == 0
        assert f"{alarm}  (acknowledged)" in capsys.readouterr().out


def sent(third: warehouse.Connection) -> list[dict[str, Any]]:
    """Fifteen parcels with a tripod of October that no claim names."""
    return rows(
        third,
        "select parcel_id from core.parcels where item_type = 'tripod' and shipped_on >= date '2026-10-01' "
        "and parcel_id not in (select parcel_id from core.claims) order by parcel_id limit 15",
    )
