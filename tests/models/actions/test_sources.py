"""Each source of actions by given and expected rows; absent and empty tables."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pandas as pd
import pytest

from dashboards.word_columns import TO_DO, written
from models.actions.action import CARRIAGE, INCOME, PACKING, Action, confidence_words
from models.actions.joint import excludes
from models.actions.money_back import CHANCES, claim_actions, dispute_actions
from models.actions.savings import carton_actions, charge_actions, near_miss_actions, packing_actions
from models.actions.services import service_actions
from models.analyses.actions import SOURCES, compute, in_order, ranked
from models.analyses.question import Question
from models.columns.billing import DIFFERENCES
from models.contracts import validated
from models.shop_units import METRIC, Units
from models.tables import TABLES
from tests.models.actions.test_services import advised_rule

INCHES = Units("USD")
OUTCOMES = pd.DataFrame(columns=["difference_class", "won_count", "lost_count"])


def words(*actions: Action, units: Units = INCHES) -> list[str]:
    """What the surfaces say of each."""
    return written(ranked(list(actions)), "analysis.actions", TO_DO, units).tolist()


def frame(*rows: dict[str, Any]) -> pd.DataFrame:
    return pd.DataFrame(rows)


def dispute(**more: Any) -> dict[str, Any]:
    row = {"carrier": "Northline", "difference_class": "duplicate line", "parcel_count": 3, "line_count": 3}
    return {**row, "outstanding_cents": 900, "last_dispute_on": pd.Timestamp("2026-12-05"), **more}


def test_disputes_of_a_carrier_are_one_action_with_the_first_day() -> None:
    later = dispute(difference_class="wrong zone", line_count=2, outstanding_cents=4_000)
    later["last_dispute_on"] = pd.Timestamp("2026-12-01")
    (found,) = dispute_actions(frame(dispute(), later), OUTCOMES)
    assert words(found) == ["Dispute 5 charges with Northline: wrong zone (2) and duplicate line (3)"]
    assert (found.once_cents, found.due_on) == (4_900, dt.date(2026, 12, 1))
    assert found.confidence == pytest.approx(0.8)


@pytest.mark.common_practice  # common practice, no source: chances of a dispute before the shop has outcomes of its own
def test_chances_before_and_after_the_shops_own_outcomes() -> None:
    assert set(CHANCES) <= set(DIFFERENCES)
    sides = dispute(difference_class="sides re-measured")
    assert dispute_actions(frame(sides), OUTCOMES)[0].confidence == pytest.approx(0.4)
    lost = frame({"difference_class": "sides re-measured", "won_count": 0, "lost_count": 4})
    assert dispute_actions(frame(sides), lost)[0].confidence == pytest.approx(0.2)  # (0.4 x 4 + 0) / (4 + 4)


def test_a_window_that_is_not_known_is_not_reported() -> None:
    (found,) = dispute_actions(frame(dispute(last_dispute_on=pd.NaT)), OUTCOMES)
    assert found.due_on is None
    assert "by" not in words(found)[0]


def claim(task: str, due: str | None) -> dict[str, Any]:
    day, undated = (pd.Timestamp(due), 0) if due else (pd.NaT, 4)
    row = {"claim_task": task, "claim_count": 4, "parcel_count": 4, "open_cents": 60_000, "claim_due_on": day}
    return {**row, "undated_claim_count": undated, "undated_opened_on": pd.Timestamp("2026-05-04") if undated else None}


def test_claims_by_task_with_the_chance_of_the_shops_own_claims() -> None:
    outcomes = frame({"paid_count": 17, "refused_count": 3})
    one = claim("contest", None) | {"claim_count": 1}
    found = claim_actions(frame(claim("ask", None), claim("file", "2026-12-02"), one), outcomes)
    assert words(*found) == [
        "File 4 claims",
        "Ask after 4 claims that wait for an answer",
        "Contest what was paid on 1 claim: less than was claimed",
    ]
    assert found[0].confidence == pytest.approx(19 / 24)  # (0.5 x 4 + 17) / (4 + 20)
    assert [each.due_on for each in found] == [dt.date(2026, 12, 2), None, None]
    assert found[2].confidence == 0.3  # common practice, no source


def test_claims_to_file_without_a_deadline_say_since_when_they_are_reported() -> None:
    part = claim("file", None) | {"undated_claim_count": 1, "claim_due_on": pd.Timestamp("2026-12-02")}
    found = [claim_actions(frame(row), frame())[0] for row in (claim("file", None), part)]
    assert words(*found) == [
        "File 4 claims, reported since 4 May 2026; no deadline is known",
        "File 4 claims; no deadline is known for 1 of them, reported since 4 May 2026",
    ]
    assert [each.due_on for each in found] == [None, dt.date(2026, 12, 2)]


def carton(**more: Any) -> dict[str, Any]:
    row = {"item_type": "tripod", "carton_code": "C-48", "best_carton_code": "C-46", "is_cut": False}
    row |= {"cut_low_in": None, "cut_high_in": None}
    return {
        **row,
        "parcel_count": 600,
        "saving_cents": 1_200_000,
        "is_borne_out": True,
        "saved_month_count": 12,
        "month_count": 12,
        **more,
    }


def test_cartons_and_cuts() -> None:
    cut = carton(best_carton_code="C-48", is_cut=True, cut_low_in=45.0, cut_high_in=46.0, saving_cents=600_000)
    stopped = carton(item_type="eyepiece", is_borne_out=False)
    found = carton_actions(frame(carton(), cut, stopped))
    assert words(*found) == ["tripod: carton C-46 instead of C-48", "tripod: carton C-48, cut to between 45 and 46 in"]
    assert [each.month_cents for each in found] == [{("tripod", CARRIAGE): 100_000}, {("tripod", CARRIAGE): 50_000}]
    assert [each.action_kind for each in found] == ["carton", "cut"]
    assert found[0].parcel_count == 50
    assert [each.touched for each in found] == [frozenset({("tripod", "C-48")})] * 2


@pytest.mark.published  # Feller, An Introduction to Probability Theory and Its Applications I, 3rd ed. 1968, V.2
def test_the_chance_of_a_change_is_that_of_a_month_more_in_which_it_saves() -> None:
    """Laplace's law of succession: after n of n, (n + 1) / (n + 2)."""
    found = carton_actions(frame(carton(), carton(saved_month_count=3, month_count=12), carton(saved_month_count=1)))
    assert [each.confidence for each in found] == pytest.approx([13 / 14, 4 / 14, 2 / 14])


def test_changes_for_goods_that_are_a_little_too_large_exclude_each_other_on_the_same_parcels() -> None:
    row: dict[str, Any] = {"item_type": "mount", "carton_code": "S-12", "change_in": 0.5, "change_lb": None}
    row |= {"parcel_count": 240, "cut_count": 0, "other_carton_code": None, "spared_cents": 12_000, "month_count": 12}
    side, girth = (row | {"charge_name": name, "change": name} for name in ("longest side", "girth"))
    found = near_miss_actions(frame(side, girth, side | {"carton_code": "S-14"}), frame(carton()))
    assert len({each.plan for each in found}) == 2
    assert [each.touched for each in found] == [frozenset({("mount", code)}) for code in ("S-12", "S-12", "S-14")]


def test_near_misses_that_only_the_bench_can_mend() -> None:
    row: dict[str, Any] = {
        "item_type": "mount",
        "carton_code": "S-12",
        "charge_name": "rated weight",
        "change": "weight",
    }
    row |= {"change_in": None, "change_lb": 0.375, "parcel_count": 240, "cut_count": 0, "other_carton_code": None}
    row |= {"spared_cents": 12_000, "month_count": 12}
    side = row | {"charge_name": "long side", "change": "longest side", "change_in": 0.5, "cut_count": 10}
    mended = (side | {"other_carton_code": "C-46"}, side | {"cut_count": 200}, side | {"spared_cents": 0})
    better = side | {"carton_code": "C-48", "item_type": "tripod"}
    found = near_miss_actions(frame(row, side, *mended, better), frame(carton()))
    assert words(*found) == [
        "mount in carton S-12: 0.4 lb lighter would avoid rated weight",
        "mount in carton S-12: longest side 0.5 in shorter would avoid long side",
    ]
    assert [each.month_cents for each in found] == [{("mount", CARRIAGE): 1_000}] * 2


def decision(**more: Any) -> dict[str, Any]:
    row = {"item_type": "tripod", "packing_method": "foam", "is_best": True, "is_current": False, "best_method": "foam"}
    row |= {"current_method": "paper", "packing_verdict": "use", "best_gain_cents": 120_000, "best_chance": 0.93}
    row |= {"best_gain_low_cents": -12_000, "best_gain_high_cents": 240_000}
    return {**row, "wait_parcels": None, "yearly_parcel_count": 600, "more_damaged_count": -4, **more}


METHODS = frame({"packing_method": "paper", "clearance_in": 1.0}, {"packing_method": "foam", "clearance_in": 1.0})


def test_a_method_of_other_room_changes_the_parcels_carriage() -> None:
    """It begins where the changes of carton from stock end with less room, and excludes them with more, or unknown."""
    thin, thick = (METHODS.assign(clearance_in=[1.0, inches]) for inches in (0.5, 1.5))
    (same, *others) = (
        packing_actions(frame(decision()), methods)[0] for methods in (METHODS, thin, thick, METHODS.iloc[:1])
    )
    assert same.touched == frozenset() and not same.plan
    assert [each.touched for each in others] == [frozenset({("tripod", "")})] * 3
    (change,), (service,) = carton_actions(frame(carton())), service_actions(advised_rule(100, 100, 100))
    assert [excludes(change, each) for each in (same, *others)] == [False, False, True, True]
    assert [excludes(service, each) for each in (same, *others)] == [False, True, True, True]


def test_packing_changes_and_trials() -> None:
    wait = decision(item_type="mount", packing_verdict="wait", best_chance=0.7, wait_parcels=240)
    kept = decision(item_type="dome", packing_verdict="too close")
    current = decision(item_type="base", is_current=True)
    breaks = decision(item_type="rod", packing_verdict="choice", more_damaged_count=3)
    endless = {**wait, "item_type": "base", "wait_parcels": 301}
    found = packing_actions(frame(decision(), wait, endless, kept, current, breaks), METHODS)
    # What may be counted on has the chance in it: it is not taken off again.
    assert [each.expected_month_cents for each in found] == [each.saving_cents for each in found]
    assert words(*found) == [
        "tripod: pack with foam instead of paper",
        "mount: pack 240 more parcels each with foam and paper, then decide",
        "rod: foam instead of paper may cost less, with about 3 more broken parcels a year to be expected",
    ]
    assert found[0].month_cents == {("tripod", PACKING): 10_000}
    assert found[0].month_limits == (-1_000, 20_000)
    assert [each.confidence for each in found] == [0.93, 0.7, 0.93]
    assert [each.is_in_sum for each in found] == [True, False, False]


def advised(**more: Any) -> dict[str, Any]:
    row = {"item_type": "tripod", "zone_band": "far", "parcel_count": 120, "shortfall_cents": 900, "is_too_few": False}
    days = {"first_on": pd.Timestamp("2025-11-03"), "last_on": pd.Timestamp("2026-10-30")}
    return {**row, **days, "margin_cents": -240_000, **more}


def test_charges_name_the_item_types_that_lose_most() -> None:
    near = advised(zone_band="near", margin_cents=-1_200_000)
    few = advised(item_type="dome", is_too_few=True)
    paid = advised(item_type="mount", margin_cents=90_000)
    less = advised(item_type="eyepiece", margin_cents=-120_000)
    unknown = advised(item_type="unknown")
    (found,) = charge_actions(frame(less, advised(), near, few, paid, unknown))
    assert words(found) == ["Charge more for shipping, or keep more in the item price: tripod and eyepiece"]
    assert found.month_cents == {("tripod", INCOME): 120_000, ("eyepiece", INCOME): 10_000}
    assert found.parcel_count == 30
    assert charge_actions(frame(paid, unknown)) == []


def test_the_best_worth_in_a_year_stands_first() -> None:
    once = dispute_actions(frame(dispute(outstanding_cents=50_000)), OUTCOMES)
    monthly = carton_actions(frame(carton(saving_cents=120_000)))  # 100 dollars a month
    rows = ranked(in_order([*once, *monthly]))
    assert rows["action_kind"].tolist() == ["carton", "dispute"]
    assert rows["place"].tolist() == [1, 2]
    assert validated(rows, TABLES["analysis.actions"], "the test")["confidence_words"].tolist() == [
        "nearly sure",
        "likely",
    ]


def test_every_chance_has_a_word() -> None:
    assert [confidence_words(chance) for chance in (1.0, 0.9, 0.89, 0.5, 0.49, 0.0)] == [
        *("nearly sure", "nearly sure", "likely", "about even", "uncertain", "uncertain")
    ]


def test_absent_tables_are_named_and_empty_ones_give_nothing() -> None:
    found = compute(Question({}, dt.date(2026, 11, 20)))
    assert validated(found["analysis.actions"], TABLES["analysis.actions"], "the test").empty
    totals = validated(found["analysis.action_totals"], TABLES["analysis.action_totals"], "the test").iloc[0]
    assert all(source.name in totals["not_looked_at"] for source in SOURCES)
    assert (totals["action_count"], totals["expected_month_cents"], totals["apart_count"]) == (0, 0, 0)


def test_a_long_name_stays_whole_and_measures_are_the_shops() -> None:
    cut = carton(item_type="x" * 200, is_cut=True, cut_low_in=10.0, cut_high_in=10.0)
    (shown,) = words(*carton_actions(frame(cut)), units=Units("USD", METRIC))
    assert shown == f"{'x' * 200}: carton C-46, cut to 25.4 cm, instead of C-48"
    validated(ranked(carton_actions(frame(cut))), TABLES["analysis.actions"], "the test")
