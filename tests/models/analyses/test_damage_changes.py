"""Changes judged against goods left alone, as of each month end."""

from __future__ import annotations

from typing import Any

import pandas as pd
import pytest

from tests.damage_shops import Made, answered, claims, decision, only, parcels, question


def judged(
    *decided: dict[str, Any], before: int = 40, after: int = 8, control: int = 0, lag_days: int = 10, **asked: Any
) -> pd.DataFrame:
    """400 tripods and 400 tubes, half before and half after 2026-05-01; claims of tripods before and after, those after
    so many days late, and of tubes, alike on both sides but for `control` more after."""
    sent, broken = [], []
    for item_type, counts in {"tripod": (before, after), "tube": (20, 20 + control)}.items():
        group = parcels(400, item_type=item_type)
        sent += group
        late = lag_days if item_type == "tripod" else 10
        broken += [*claims(spread(group[:200], counts[0])), *claims(spread(group[200:], counts[1]), late)]
    return answered(question(sent, broken, decided=decided, **asked), "changes judged")["analysis.change_judgements"]


def spread(group: Made, count: int) -> Made:
    """So many of the group, as far apart as can be."""
    return [group[at * len(group) // count] for at in range(count)]


def test_a_fall_against_goods_left_alone_worked() -> None:
    row = only(judged(decision("tripod", "2026-05-01")))
    assert (row["verdict"], row["is_final"]) == ("worked", True)
    assert row["measured_ratio"] == pytest.approx(8 / 40, abs=0.06)
    assert row["measured_ratio"] < row["likely_ratio"] < 1
    assert row["measured_high"] < 1
    assert row["claims_seen"] <= 8
    assert row["judged_on"].is_month_end


def test_what_the_season_did_to_all_goods_is_no_effect() -> None:
    # Tripods break half as often after, and so do tubes.
    row = only(judged(decision("tripod", "2026-05-01"), before=40, after=20, control=-10))
    assert row["verdict"] != "worked"
    assert row["measured_ratio"] == pytest.approx(1.0, abs=0.06)


def test_harm_is_said() -> None:
    assert only(judged(decision("tripod", "2026-05-01"), before=5, after=40))["verdict"] == "worse"


def test_goods_with_a_change_of_their_own_are_no_control() -> None:
    rows = judged(decision("tripod", "2026-05-01"), decision("tube", "2026-04-01"))
    assert not only(rows, decision_id="tripod")["has_control"]


def test_the_next_change_of_the_same_goods_ends_what_can_be_reported_of_the_first() -> None:
    """The first of June, a month after; what is sent from then on counts for neither."""
    first, second = decision("tripod", "2026-05-01"), decision("tripod", "2026-06-01", decision_id="again")
    rows = judged(first, second, before=40, after=30)
    again, alone = only(rows, decision_id="tripod"), only(judged(first, before=40, after=30))
    assert again["changed_again_on"] == pd.Timestamp("2026-06-01")
    assert again["claims_expected"] < 0.3 * alone["claims_expected"]
    assert pd.isna(alone["changed_again_on"])
    assert pd.isna(only(rows, decision_id="again")["changed_again_on"])


def test_looks_are_the_month_ends_of_the_records() -> None:
    """The same records as known on several days, asked in any order: what was said by a month end stays said."""
    change = decision("tripod", "2026-05-01")
    last, before, at, later = (
        only(judged(change, after=4, as_of=as_of)) for as_of in ("2026-12-31", "2026-07-30", "2026-07-31", "2026-12-15")
    )
    assert (before["look_count"], at["look_count"]) == (2, 3)
    assert (before["judged_on"], at["judged_on"]) == (pd.Timestamp("2026-06-30"), pd.Timestamp("2026-07-31"))
    assert (last["verdict"], last["is_final"]) == ("worked", True)
    assert last["judged_on"] == later["judged_on"] < pd.Timestamp("2026-12-01")
    assert (last["measured_ratio"], last["measured_high"]) == (later["measured_ratio"], later["measured_high"])


def test_a_claim_reported_later_does_not_change_an_earlier_look() -> None:
    """Forty claims that come in winter of parcels sent from May on: June's look knows nothing of them."""
    change = decision("tripod", "2026-05-01")
    quiet, knowing = (
        only(judged(change, after=after, lag_days=200, as_of="2026-06-30", window_days=365)) for after in (0, 40)
    )
    assert (quiet["claims_seen"], knowing["claims_seen"]) == (0, 0)
    assert quiet["measured_ratio"] == knowing["measured_ratio"]


def test_a_bad_month_that_led_to_the_change_is_left_out() -> None:
    """Tripods broke as often after as before, but for April, after which they were changed."""
    tripods, tubes = parcels(480), parcels(480, item_type="tube")
    april = [each for each in tripods if each["shipped_on"].month == 4]
    usual = [*tripods[::20], *tubes[::20]]
    broken = [*claims(usual), *claims([each for each in april if each not in usual])]
    planned, led = (
        only(
            answered(
                question([*tripods, *tubes], broken, decided=[decision("tripod", "2026-05-01", change_reason=reason)]),
                "changes judged",
            )["analysis.change_judgements"]
        )
        for reason in ("planned", "bad month")
    )
    # A month so much worse than the others shows that months vary: it proves no change, whatever led to it.
    assert (planned["verdict"], led["verdict"]) == ("too early", "too early")
    assert planned["measured_ratio"] < 0.3
    assert led["measured_ratio"] == pytest.approx(1.0, abs=0.5)


def test_the_worst_of_several_is_drawn_towards_the_others() -> None:
    planned, worst, unstated = (
        only(judged(decision("tripod", "2026-05-01", change_reason=reason)))
        for reason in ("planned", "worst of several", "not stated")
    )
    assert planned["measured_ratio"] < worst["measured_ratio"] < 1.0
    # What led to it is not known: the last three months are left out, too.
    assert unstated["measured_ratio"] != worst["measured_ratio"]


@pytest.mark.parametrize("assigned", ["foam", "paper"])
def test_parcels_that_a_trial_had_packed_otherwise_are_no_part_of_the_year_before(assigned: str) -> None:
    """Of 200 tripods before the change 100 were on trial; of these every other one in foam, of which none broke. Those
    in paper broke like the rest, 20 in 100, as all do after the change, which is without effect."""
    sent = parcels(400)
    tried = sent[100:200:2]
    usual = [*sent[:100:5], *sent[101:200:10]]
    broken = claims([*usual, *sent[200::5]])
    trial = {"trial_id": "t1", "item_type": "tripod", "usual_method": "paper", "other_method": assigned}
    trial |= {"assigned_by": "sale", "started_on": sent[100]["shipped_on"], "planned_end_on": "2026-04-30"}
    on_trial = [
        {"trial_id": "t1", "parcel_id": f"T{at}", "shipped_on": row["shipped_on"], "assigned_method": "foam"}
        | {"packing_method": "foam"}
        for at, row in enumerate(tried)
    ]
    asked = question(
        sent,
        broken,
        decided=[decision("tripod", "2026-05-01")],
        trials=[trial | {"expected_ratio": 0.5}],
        on_trial=on_trial,
    )
    row = only(answered(asked, "changes judged")["analysis.change_judgements"])
    before = len(usual) / (150 if assigned == "foam" else 200)
    assert row["measured_ratio"] == pytest.approx(0.2 / before, rel=0.05)
    assert row["claims_expected"] == pytest.approx(200 * before, rel=0.05)


def test_what_a_trial_tried_counts_again_once_it_is_the_usual_way() -> None:
    """The change was made while the trial still ran: what it assigned after that is the change itself."""
    sent = parcels(400)
    tried = [row for row in sent if row["shipped_on"] >= pd.Timestamp("2026-04-01")]
    on_trial = [
        {"trial_id": "t1", "parcel_id": f"T{at}", "shipped_on": row["shipped_on"], "assigned_method": "foam"}
        | {"packing_method": "foam"}
        for at, row in enumerate(tried)
    ]
    trial: dict[str, Any] = {"trial_id": "t1", "item_type": "tripod", "usual_method": "paper", "other_method": "foam"}
    trial |= {"assigned_by": "sale", "started_on": "2026-04-01", "planned_end_on": "2026-12-31", "expected_ratio": 0.5}
    decided = [decision("tripod", "2026-05-01")]
    after = [row for row in sent if row["shipped_on"] >= pd.Timestamp("2026-05-01")]
    asked = question(sent, claims([*sent[:150:5], *after[::5]]), decided=decided, trials=[trial], on_trial=on_trial)
    row = only(answered(asked, "changes judged")["analysis.change_judgements"])
    assert row["claims_expected"] == pytest.approx(len(after) * 30 / 150, rel=0.05)
    assert row["measured_ratio"] == pytest.approx(1.0, rel=0.1)
