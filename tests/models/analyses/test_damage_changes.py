"""Changes judged against goods left alone; a final verdict stands."""

from __future__ import annotations

from typing import Any

import pandas as pd
import pytest

from tests.damage_shops import answered, claims, decision, only, parcels, question


def judged(*decided: dict[str, Any], before: int = 40, after: int = 8, control: int = 0) -> pd.DataFrame:
    """400 tripods and 400 tubes, half before and half after 2026-05-01; claims of tripods before and after, and
    of tubes, alike on both sides but for `control` more after."""
    sent, broken = [], []
    for item_type, counts in {"tripod": (before, after), "tube": (20, 20 + control)}.items():
        group = parcels(400, item_type=item_type)
        sent += group
        broken += [*claims(group[: counts[0]]), *claims(group[200 : 200 + counts[1]])]
    return answered(question(sent, broken, decided=decided), "changes judged")["analysis.change_judgements"]


def test_a_fall_against_goods_left_alone_worked() -> None:
    row = only(judged(decision("tripod", "2026-05-01")))
    assert (row["verdict"], row["is_final"]) == ("worked", True)
    assert row["measured_ratio"] == pytest.approx(8 / 40, abs=0.01)
    assert row["measured_high"] < 1
    assert row["claims_seen"] == 8
    assert row["judged_on"] == pd.Timestamp("2026-12-31")


def test_what_the_season_did_to_all_goods_is_no_effect() -> None:
    # Tripods break half as often after, and so do tubes.
    row = only(judged(decision("tripod", "2026-05-01"), before=40, after=20, control=-10))
    assert row["verdict"] != "worked"
    assert row["measured_ratio"] == pytest.approx(1.0, abs=0.01)


def test_harm_is_said() -> None:
    assert only(judged(decision("tripod", "2026-05-01"), before=5, after=40))["verdict"] == "worse"


def test_goods_with_a_change_of_their_own_are_no_control() -> None:
    rows = judged(decision("tripod", "2026-05-01"), decision("tube", "2026-04-01"))
    assert not only(rows, decision_id="tripod")["has_control"]


def test_a_verdict_in_the_log_stands_whatever_came_later() -> None:
    kept = {"verdict": "worked", "judged_on": "2026-08-01", "measured_ratio": 0.3, "measured_low": 0.1}
    kept |= {"measured_high": 0.8, "claims_expected": 20.0, "claims_seen": 6, "has_control": True}
    row = only(judged(decision("tripod", "2026-05-01", **kept), before=5, after=60))
    assert (row["verdict"], row["is_final"], row["measured_ratio"]) == ("worked", True, 0.3)
    assert row["judged_on"] == pd.Timestamp("2026-08-01")
