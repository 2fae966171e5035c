"""Damage, changes and alarms on a terminal, by given rows: what stands there and what must not."""

from __future__ import annotations

from typing import Any

import pandas as pd

from dashboards.damage_words import alarm_lines, judgement_lines, report_lines
from models.shop_units import Units
from tests.dashboards.sentences.cases import LATER, MADE_AT, SOONER, row, rows, states

STEPS = "analysis.claim_steps"
RATES, DECISIONS, LAGS = "analysis.damage_rates", "analysis.packing_decision", "analysis.reporting_lag"
PAIRS, CLAIMS, ALARMS = "analysis.method_comparison", "marts.claim_deadlines", "analysis.alarms"


def tables(claims: int, *due: pd.Timestamp) -> dict[str, pd.DataFrame]:
    """Two goods, each in one method, and claims to file until the days named."""
    asked: list[dict[str, Any]] = [
        {"claim_id": f"Q{day.day}", "claim_step": "filing", "step_due_on": day, "is_in_time": True} for day in due
    ]
    return {
        **states(claims=claims),
        **rows(RATES, {"item_type": "anvil", "claim_count": 1}, {"item_type": "kettle", "parcel_count": 49}),
        **row(DECISIONS, packing_verdict="one method", is_best=True, current_method="straw"),
        **row(LAGS),
        **rows(PAIRS),
        **rows(CLAIMS),
        **rows(STEPS, *asked),
    }


def test_each_item_type_stands_with_its_own_rates_and_verdict() -> None:
    report = "\n".join(report_lines(tables(3), Units("USD"), ["anvil", "kettle"]))
    anvil, kettle = report.split("\nanvil\n")[1].split("\nkettle\n")
    assert "anvil: 1 claim on 60 parcels; 25% once late claims are in" in anvil
    assert "so straw has nothing to be compared with" in anvil
    assert "60 claims on 49 parcels; too few to go by." in kettle
    assert "What the packing method most used on these goods costs is not on record" in kettle


def test_without_claims_records_no_rate_and_no_verdict_is_reported() -> None:
    report = "\n".join(report_lines(tables(0), Units("USD"), ["anvil", "kettle"]))
    assert "No claims are on record, so damage is not known." in report
    assert "%" not in report and "claims on" not in report and "straw" not in report


def test_a_claim_whose_window_is_over_on_the_day_of_making_is_marked_and_stands_first() -> None:
    found = report_lines(tables(3, LATER, SOONER), Units("USD"), ["anvil"], MADE_AT)
    asked = [line.split(";")[0].strip() for line in found[found.index("Claims to act on") + 1 :] if line]
    assert asked == [
        "Q8 (anvil, anvil): overdue, the deadline for filing was 8 Apr 2027",
        "Q9 (anvil, anvil): due this week, filing by 9 Apr 2027",
    ]


def test_alarms_stand_under_their_ids_and_a_quiet_shop_only_where_it_is_watched() -> None:
    seen = rows(ALARMS, {"alarm_id": "a1"}, {"alarm_id": "a2", "is_acknowledged": True})
    assert [line.split("\n")[0] for line in alarm_lines(seen, Units("USD"))] == ["a1", "a2  (acknowledged)"]
    weeks = (row("analysis.watched_weeks"), rows("analysis.watched_weeks"))
    watched, unwatched = ({**rows(ALARMS), **each} for each in weeks)
    assert alarm_lines(watched, Units("USD")) == ["No alarm: claims, surcharges and carriage are within their limits."]
    assert "nothing is watched yet" in alarm_lines(unwatched, Units("USD"))[0]


def test_no_logged_change_is_said() -> None:
    assert "No change is logged." in judgement_lines(rows("analysis.change_judgements"), Units("USD"))[0]
