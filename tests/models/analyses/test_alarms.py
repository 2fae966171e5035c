"""Alarms between reviews, from given weeks."""

from __future__ import annotations

from typing import Any

import pandas as pd
import pytest

from models.analyses.alarms import first_week
from tests.damage_shops import Rows, Tables, answered, claims, only, parcels, question

# 2025-01-01 .. : ten parcels a day for 600 days, one in fifty claimed after 14 days.
SENT = [row | {"shipped_on": row["shipped_on"] - pd.Timedelta(days=365)} for row in parcels(6_000, days=600)]
QUIET = claims(SENT[::50], lag_days=14)


def watched(broken: Rows, **more: Any) -> Tables:
    known = [row for row in broken if row["opened_on"] <= pd.Timestamp("2026-08-20")]
    return answered(question(SENT, known, as_of="2026-08-20", **more), "alarms")


@pytest.mark.parametrize(
    ("as_of", "start"),
    [
        ("2026-11-20", "2026-07-06"),
        ("2026-09-29", "2026-04-06"),
        ("2026-12-31", "2026-10-05"),
        ("2026-04-01", "2025-10-06"),
    ],
)
def test_the_watch_begins_with_the_quarter_that_is_a_quarter_old(as_of: str, start: str) -> None:
    assert first_week(pd.Timestamp(as_of)) == pd.Timestamp(start)
    assert first_week(pd.Timestamp(as_of)).day_name() == "Monday"


def test_a_quiet_shop_is_not_woken() -> None:
    tables = watched(QUIET)
    assert tables["analysis.alarms"].empty
    weeks = tables["analysis.watched_weeks"]
    shop = weeks[weeks["cause"] == "damage: all item types"]
    # Seventy parcels a week at one in fifty.
    assert shop["expected"].iloc[-1] == pytest.approx(1.4, abs=0.2)
    assert shop["week_on"].iloc[-1] == pd.Timestamp("2026-08-10")  # the last whole week


def test_more_claims_than_usual_raise_one_alarm_and_late_ones_none() -> None:
    sudden = claims([row for row in SENT[1::12] if row["shipped_on"] >= pd.Timestamp("2026-06-01")], lag_days=14)
    alarm = only(watched([*QUIET, *sudden])["analysis.alarms"])
    assert alarm["alarm_id"].endswith("-damage-all-item-types")
    assert alarm["span_claim_count"] > alarm["span_expected_claims"]
    assert alarm["span_week_count"] >= 1 and pd.isna(alarm["seen_share"])
    assert alarm["week_on"] >= pd.Timestamp("2026-06-15")


def test_an_alarm_keeps_its_name_a_week_later_and_once_seen_says_so() -> None:
    sudden = claims([row for row in SENT[1::12] if row["shipped_on"] >= pd.Timestamp("2026-06-01")], lag_days=14)
    first = only(watched([*QUIET, *sudden])["analysis.alarms"])["alarm_id"]
    later = answered(question(SENT, [*QUIET, *sudden], as_of="2026-08-29", acknowledged=[first]), "alarms")
    again = only(later["analysis.alarms"])
    assert (again["alarm_id"], again["is_acknowledged"]) == (first, True)


def test_fewer_claims_than_can_be_judged_are_not_watched() -> None:
    assert watched(QUIET[:9])["analysis.watched_weeks"].empty


def weeks(cents: int, charged: int = 20) -> Rows:
    """Sixty quiet weeks of 50 parcels, 20 of them surcharged, then ten of other carriage and share."""
    mondays = pd.date_range("2025-01-06", periods=70, freq="7D")
    quiet = [1_000 + 40 * (at % 5) for at in range(60)]
    return [
        {
            "carrier": "Northline",
            "item_type": "tripod",
            "service": "ground",
            "week_on": day,
            "parcel_count": 50,
            "charged_count": 50,
            "surcharge": "long side",
        }
        | {"billed_cents": 50 * (quiet[at] if at < 60 else cents), "charged_parcel_count": 20 if at < 60 else charged}
        for at, day in enumerate(mondays)
    ]


def charges(rows: Rows) -> pd.DataFrame:
    asked = question([], as_of="2026-05-31", weekly=rows, surcharged=rows)
    return answered(asked, "alarms")["analysis.alarms"]


def test_dearer_carriage_and_more_surcharges_are_reported_once_each() -> None:
    assert charges(weeks(1_080)).empty
    dearer = only(charges(weeks(2_000)))
    assert (dearer["cause"], dearer["week_on"]) == ("carriage: Northline", pd.Timestamp("2026-03-02"))
    more = only(charges(weeks(1_080, charged=45)))
    assert more["cause"] == "surcharge: long side, Northline"
    assert (more["seen_share"], more["expected_share"]) == pytest.approx((0.9, 0.4))


def test_cheaper_weeks_are_no_alarm() -> None:
    assert charges(weeks(300, charged=1)).empty


def promoted(dearer: float = 1.0, charged: float = 0.9) -> Rows:
    """Domes cost three times a tripod's carriage, and most are surcharged; in the last weeks four times as many go."""
    rows = []
    for at, day in enumerate(pd.date_range("2025-01-06", periods=70, freq="7D")):
        for item, cents, share in (("tripod", 1_000 + 40 * (at % 5), 0.05), ("dome", 3_000 + 40 * (at % 5), charged)):
            count = 10 * (4 if item == "dome" and at >= 60 else 1)
            shown = dearer if at >= 60 else 1.0
            cell = {"carrier": "Northline", "item_type": item, "service": "ground", "week_on": day}
            rows.append(
                cell
                | {"parcel_count": count, "charged_count": count, "billed_cents": round(count * cents * shown)}
                | {"surcharge": "long side", "charged_parcel_count": round(count * share)}
            )
    return rows


def test_a_promotion_of_dear_goods_is_no_alarm_and_dearer_carriage_under_it_is() -> None:
    assert charges(promoted()).empty
    assert only(charges(promoted(dearer=1.3)))["cause"] == "carriage: Northline"


def test_goods_that_were_hardly_sent_before_are_left_out_of_their_week() -> None:
    new: dict[str, Any] = {
        "carrier": "Northline",
        "item_type": "new dome",
        "service": "ground",
        "surcharge": "long side",
    }
    new |= {"parcel_count": 30, "charged_count": 30, "billed_cents": 30 * 9_000, "charged_parcel_count": 30}
    added = [new | {"week_on": day} for day in pd.date_range("2026-03-02", periods=10, freq="7D")]
    assert charges([*weeks(1_080), *added]).empty
