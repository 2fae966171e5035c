"""Rules of services by given cells: chosen on older months, measured on the newest, zones in a row together."""

from __future__ import annotations

import datetime as dt
from typing import Any

import numpy as np
import pandas as pd
import pytest

from models.analyses.question import Question
from models.analyses.services import compute, months_ago, rules, zones_in_a_row
from models.assortment import bootstrap_saving
from models.contracts import validated
from models.plain_rows import as_dicts
from models.tables import TABLES
from tests.damage_shops import question

LAST = pd.Timestamp("2026-10-01")
PLAIN = {"item_type": "tripod", "carrier": "Tern", "service": "quick", "other_carrier": "Skua", "other_service": "slow"}


def cell(ago: int, saved: int, week: int = 0, parcels: int = 1, **stated: Any) -> dict[str, Any]:
    """Parcels of one week so many months before the last, each of which would have cost so much less."""
    month = LAST - pd.DateOffset(months=ago)
    amounts = {"expected_cents": 2_000 * parcels, "other_cents": (2_000 - saved) * parcels}
    days = {"last_month": LAST, "shipped_month": month, "shipped_week": month + pd.Timedelta(weeks=week)}
    billed = {"billed_parcel_count": parcels, "billed_cents": 2_100 * parcels, "learned_within_cents": 0}
    return {**PLAIN, "zone": "5", "parcel_count": parcels, **days, **amounts, **billed, **stated}


def found(*cells: dict[str, Any], hold_out: int = 3, damage: int = 0) -> list[dict[str, Any]]:
    """The rules, held to their contract. damage: cents a parcel that each would cost in more damage."""
    made = rules(pd.DataFrame(cells), hold_out, lambda rows: [damage] * len(rows))
    return as_dicts(validated(made, TABLES["analysis.service_rules"], "the test"))


def weekly(saved: int, **stated: Any) -> list[dict[str, Any]]:
    """A parcel in each of twelve weeks held out."""
    return [cell(ago, saved, week, **stated) for ago in range(3) for week in range(4)]


def test_zones_in_a_row_are_one_rule_and_others_stand_alone() -> None:
    zones = pd.Series(["10", "2", "4", "3", "9", "B", "A", None, "7"], dtype="str")
    spans = [(low, high) for low, high, _ in zones_in_a_row(zones)]
    assert spans == [("2", "4"), ("7", "7"), ("9", "10"), ("A", "A"), ("B", "B"), (None, None)]
    assert next(within for *_, within in zones_in_a_row(zones)) == ["2", "3", "4"]


def test_the_service_is_chosen_on_older_months_and_its_saving_is_that_of_the_months_held_out() -> None:
    chosen = [cell(ago, 300, zone=zone) for ago in range(3, 12) for zone in ("5", "6")]
    (rule,) = found(*chosen, *weekly(200), *weekly(100, zone="6"))
    assert (rule["zone_low"], rule["zone_high"]) == ("5", "6")
    # By hand: 24 parcels held out and 18 before are 42 in twelve months, 3.5 a month at 1.50 each.
    assert (rule["saving_per_parcel_cents"], rule["parcels_per_month"]) == (150, 3.5)
    assert (rule["service_month_cents"], rule["held_out_parcel_count"], rule["week_count"]) == (525, 24, 12)
    assert (rule["parcel_count"], rule["billed_cents"]) == (42, 42 * 2_100)
    assert rule["saving_cents"] == 18 * 300 + 12 * 200 + 12 * 100 == rule["expected_cents"] - rule["other_cents"]
    assert rule["is_advised"]


def test_a_service_that_was_dearer_in_the_older_months_is_no_rule_whatever_the_newest_say() -> None:
    assert found(cell(5, -1), *weekly(900)) == []
    assert found(cell(5, 0), *weekly(900)) == []
    assert found(*weekly(900)) == []


def test_of_several_services_the_one_that_saves_most_is_chosen() -> None:
    third: dict[str, Any] = {"other_carrier": "Tern", "other_service": "slow"}
    (rule,) = found(cell(5, 300), cell(5, 310, **third), *weekly(900), *weekly(10, **third))
    assert (rule["other_carrier"], rule["saving_per_parcel_cents"]) == ("Tern", 10)


def test_parcels_whose_zone_is_not_known_have_a_rule_of_their_own() -> None:
    """A service with one price for every zone is compared without one."""
    without, beside = found(cell(5, 300, zone=None), *weekly(200, zone=None), cell(5, 100), *weekly(50))
    assert pd.isna(without["zone_low"]) and pd.isna(without["zone_high"])
    assert (without["parcel_count"], without["saving_per_parcel_cents"]) == (13, 200)
    assert (beside["zone_low"], beside["saving_per_parcel_cents"]) == ("5", 50)


def test_what_the_months_held_out_do_not_bear_out_is_shown_and_not_advised() -> None:
    losing, few, none = (
        found(cell(5, 300), *weekly(-100))[0],
        found(cell(5, 300), *[cell(0, 500, week) for week in range(3)])[0],
        found(cell(5, 300))[0],
    )
    assert [rule["is_advised"] for rule in (losing, few, none)] == [False] * 3
    assert losing["service_month_cents"] < 0
    assert (none["held_out_parcel_count"], none["service_month_cents"]) == (0, 0)
    assert pd.isna(none["saving_per_parcel_cents"]) and pd.isna(none["sure_saving_cents"])
    (four,) = found(cell(5, 300), *[cell(0, 500, week) for week in range(4)])
    assert four["is_advised"]


def test_a_saving_within_what_learned_prices_may_be_off_is_not_advised() -> None:
    for within, advised in ((199, True), (200, False)):
        (rule,) = found(cell(5, 300), *weekly(200, learned_within_cents=within))
        assert (rule["sure_saving_cents"], rule["is_advised"]) == (200 - within, advised)
        assert rule["learned_within_cents"] == 12 * within


def test_more_damage_is_taken_off_the_saving_and_what_it_eats_up_is_not_advised() -> None:
    for damage, advised in ((199, True), (200, False)):
        (rule,) = found(cell(5, 300), *weekly(200), damage=damage)
        named = ("saving_per_parcel_cents", "saving_low_cents", "saving_high_cents", "sure_saving_cents")
        assert [rule[name] for name in named] == [200 - damage] * 4
        assert rule["service_month_cents"] == round((200 - damage) * rule["parcels_per_month"])
        assert (rule["more_damage_cents"], rule["is_advised"]) == (damage, advised)
        assert rule["saving_cents"] == 300 + 12 * 200  # by the tariffs


def test_limits_are_those_of_the_bootstrap_over_weeks_that_the_assortment_draws() -> None:
    source = np.random.default_rng(4)
    cells = [
        cell(ago, int(source.integers(-400, 900)), week, int(source.integers(1, 9)))
        for ago in range(3)
        for week in range(4)
    ]
    (rule,) = found(cell(5, 300), *cells)
    weeks, counts = [each["shipped_week"] for each in cells], np.array([each["parcel_count"] for each in cells])
    saved = np.array([each["expected_cents"] - each["other_cents"] for each in cells]) / counts
    shown, sure = (bootstrap_saving(weeks, saved, counts, level=level, draws=4_000) for level in (0.95, 0.8))
    spread = shown.high - shown.low
    assert rule["saving_per_parcel_cents"] == round(shown.cents_per_parcel)
    assert rule["saving_low_cents"] == pytest.approx(shown.low, abs=0.04 * spread)
    assert rule["saving_high_cents"] == pytest.approx(shown.high, abs=0.04 * spread)
    assert rule["sure_saving_cents"] == pytest.approx(sure.low, abs=0.04 * spread)


def test_months_are_counted_back_from_the_last_month_of_shipping_and_the_year_is_no_longer_than_the_record() -> None:
    cells = pd.DataFrame([cell(ago, 100) for ago in (0, 2, 14)])
    assert months_ago(cells).tolist() == [0, 2, 14]
    (rule,) = found(cell(4, 300), cell(3, 300), *weekly(200))
    assert rule["parcels_per_month"] == 14 / 5
    # The other service has gone from the lists: nothing of it in the months held out.
    (rule,) = found(cell(14, 300), cell(6, 300))
    assert (rule["parcels_per_month"], rule["is_advised"]) == (1 / 12, False)


def test_no_cells_and_how_many_months_are_held_out() -> None:
    empty = pd.DataFrame([cell(0, 1)]).iloc[:0]
    coverage = pd.DataFrame(columns=list(TABLES["analysis.service_coverage"].columns))
    totals = pd.DataFrame(columns=list(TABLES["analysis.service_totals"].columns))
    tables = {"service_cells": empty, "service_coverage": coverage, "service_totals": totals}
    made = compute(Question({**question([], []).tables, **tables}, dt.date(2026, 11, 20)))
    assert made["analysis.service_rules"].empty
    cells = pd.DataFrame([cell(1, 300), *(cell(0, 200, week) for week in range(4))])
    options = {"cartons": {"hold_out_months": 1}}
    known = {**question([], []).tables, **tables}
    one = compute(Question(known | {"service_cells": cells}, dt.date(2026, 11, 20), options))
    assert one["analysis.service_rules"]["saving_per_parcel_cents"].tolist() == [200]
