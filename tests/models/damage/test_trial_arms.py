"""Chance assigns, and always the same."""

from __future__ import annotations

import datetime as dt

import pandas as pd

from models.damage.trials import Arms, arms, assignments

TRIAL = Arms("tripods-1", "paper", "corner blocks")
FIRST_SIX = ["corner blocks", "corner blocks", "corner blocks", "paper", "corner blocks", "corner blocks"]
DAYS = [dt.date(2026, 12, 7) + dt.timedelta(days=days) for days in range(28)]


def test_half_of_the_sales_are_assigned_either_method_in_no_order() -> None:
    found = [TRIAL.of_sale(f"S-{number}") for number in range(4_000)]
    is_other = pd.Series(found) == "corner blocks"
    assert set(found) == {"paper", "corner blocks"}
    # Fair coins: 2,000 give or take 32; as many changes from one sale to the next.
    assert abs(is_other.sum() - 2_000) < 130
    assert abs((is_other != is_other.shift()).sum() - 2_000) < 130


def test_another_trial_assigns_anew_and_the_same_trial_never() -> None:
    other = Arms("tripods-2", "paper", "corner blocks")
    sales = [f"S-{number}" for number in range(1_000)]
    agree = sum(TRIAL.of_sale(sale) == other.of_sale(sale) for sale in sales)
    assert abs(agree - 500) < 70
    assert [TRIAL.of_sale(sale) for sale in sales] == [
        Arms("tripods-1", "paper", "corner blocks").of_sale(sale) for sale in sales
    ]
    # Kept as it is: parcels of running trials were assigned so.
    assert [TRIAL.of_sale(f"S-{number}") for number in range(1, 7)] == FIRST_SIX


def test_weeks_take_turns_from_monday_to_sunday() -> None:
    found = [TRIAL.of_week(day) for day in DAYS]
    weeks = [set(found[at : at + 7]) for at in range(0, 28, 7)]
    assert all(len(week) == 1 for week in weeks)
    assert weeks[0] == weeks[2] != weeks[1] == weeks[3]


def test_the_list_names_what_is_assigned_and_nothing_to_other_goods() -> None:
    parcels = pd.DataFrame(
        {"only_item_type": ["tripod", "tripod", "mount", None, "tripod"], "sale_id": ["S-1", "S-2", "S-3", "S-4", None]}
    )
    trial = {"trial_id": "tripods-1", "usual_method": "paper", "other_method": "corner blocks", "item_type": "tripod"}
    row = trial | {"assigned_by": "sale", "started_on": pd.Timestamp("2026-12-01")}
    row["planned_end_on"] = pd.Timestamp("2027-02-28")
    assert arms(row) == TRIAL
    running = pd.DataFrame([row])
    found = assignments(parcels, running, dt.date(2026, 12, 1)).tolist()
    assert found == [TRIAL.of_sale("S-1"), TRIAL.of_sale("S-2"), None, None, None]
    for outside in (dt.date(2026, 11, 30), dt.date(2027, 3, 1)):
        assert assignments(parcels, running, outside).isna().all()
    by_week = assignments(parcels, running.assign(assigned_by="week"), dt.date(2026, 12, 9))
    assert by_week.dropna().tolist() == [TRIAL.of_week(dt.date(2026, 12, 9))] * 3
