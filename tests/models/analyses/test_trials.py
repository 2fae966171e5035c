"""Trials at the bench: analysed as assigned, ended by their own rule, offered where they end within a year."""

from __future__ import annotations

from typing import Any

import numpy as np
import pandas as pd
import pytest

from models.analyses import Question
from models.analyses.damage_records import damage_records
from models.analyses.trials import look_by_week, weeks_of
from models.columns.changes import WORKED, WORSE
from models.damage.trials import Arms
from tests.benchmarks import bench_trials
from tests.damage_shops import COSTS, Made, Tables, answered, claims, only, parcels, question

ARMS = Arms("t1", "paper", "foam")
TRIAL: dict[str, Any] = {
    **{"trial_id": "t1", "item_type": "tripod", "usual_method": "paper", "other_method": "foam"},
    **{"assigned_by": "sale", "started_on": "2026-01-01", "planned_end_on": "2026-08-31", "ended_on": None},
    "expected_ratio": 0.5,
}


def shop(usual: int, other: int, *, as_of: str = "2026-12-31", packed: str = "", **stated: Any) -> Question:
    """600 tripods in eight months, assigned in turn; so many claims of each arm, evenly spread over its parcels.
    packed: how all of them were packed, where not as assigned."""
    sent = parcels(600)
    assigned = ["paper" if at % 2 else "foam" for at in range(600)]
    sent = [row | {"packing_method": packed or arm} for row, arm in zip(sent, assigned, strict=True)]
    arms = {arm: [at for at in range(600) if assigned[at] == arm] for arm in ("paper", "foam")}
    broken = sorted(spread(arms["paper"], usual) + spread(arms["foam"], other))
    claimed = claims([sent[at] for at in broken])
    on_trial = [
        {
            "trial_id": "t1",
            "parcel_id": f"P{broken.index(at)}" if at in broken else f"X{at}",
            **{name: sent[at][name] for name in ("shipped_on", "packing_method")},
            "assigned_method": assigned[at],
        }
        for at in range(600)
    ]
    return question(sent, claimed, as_of=as_of, trials=[TRIAL | stated], on_trial=on_trial)


def spread(group: list[int], count: int) -> list[int]:
    return [group[at * len(group) // count] for at in range(count)]


def found(asked: Question) -> dict[str, Any]:
    return only(written(asked)["analysis.trials"])


def written(asked: Question) -> Tables:
    """The tables that trials read of other analyses first, then what they find."""
    before = answered(asked, "damage", "packing decisions")
    return answered(Question({**asked.tables, **before}, asked.as_of, asked.options), "trials")


def test_a_method_that_breaks_far_less_ends_the_trial_at_the_look_that_proves_it() -> None:
    row = found(shop(60, 12))
    assert (row["trial_verdict"], row["trial_state"]) == ("breaks less", "ended")
    assert row["judged_on"].is_month_end and row["judged_on"] < pd.Timestamp("2026-08-31")
    assert row["measured_ratio"] == pytest.approx(0.2, abs=0.15)
    assert row["measured_high"] < 1.0
    assert (row["usual_parcel_count"], row["tried_parcel_count"]) == (300, 300)
    assert (row["usual_claim_count"], row["tried_claim_count"]) == (60, 12)
    # Month ends from January to September, a month after its last day.
    assert row["planned_look_count"] == 9


def test_harm_is_said_and_ends_it() -> None:
    row = found(shop(12, 60))
    assert (row["trial_verdict"], row["trial_state"]) == ("breaks more", "ended")


def test_alike_methods_are_not_told_apart_and_the_last_day_ends_it() -> None:
    running, ended = (found(shop(30, 30, as_of=as_of)) for as_of in ("2026-07-15", "2026-12-31"))
    assert (running["trial_state"], running["look_count"]) == ("running", 6)
    assert running["trial_verdict"] in ("too early", "no difference seen")
    # The look a month after the last day may add nothing to the one before.
    assert ended["trial_state"] == "ended" and ended["look_count"] in (8, 9)
    assert ended["trial_verdict"] in ("no difference seen", "not settled")


def test_the_shop_may_end_it() -> None:
    row = found(shop(10, 8, as_of="2026-07-15", ended_on="2026-06-30"))
    assert row["trial_state"] == "ended"


def test_parcels_count_as_assigned_however_they_were_packed() -> None:
    """All were packed in foam; those assigned paper broke more often by chance of the goods, and count as paper."""
    row = found(shop(60, 12, packed="foam"))
    assert row["trial_verdict"] == "breaks less"
    assert row["followed_share"] == 0.5


def test_parcels_without_an_assignment_are_left_out_and_counted() -> None:
    asked = shop(30, 10)
    rows = asked.tables["trial_parcels"]
    rows.loc[rows.index[:50], "assigned_method"] = None
    row = found(asked)
    assert row["unassigned_count"] == 50
    assert row["usual_parcel_count"] + row["tried_parcel_count"] == 550


def test_weeks_assign_by_the_day_of_shipping() -> None:
    asked = shop(30, 10, assigned_by="week")
    asked.tables["trial_parcels"]["assigned_method"] = None
    row, days = found(asked), asked.tables["trial_parcels"]["shipped_on"]
    assert row["unassigned_count"] == 0
    assert row["tried_parcel_count"] == sum(ARMS.of_week(pd.Timestamp(day).date()) == "foam" for day in days)


def weeks(*claims: float, count: int = 26) -> pd.DataFrame:
    """So many weeks from 2026-01-05, the methods in turns; 50 parcels a week, claims by week in turns."""
    monday = pd.date_range("2026-01-05", periods=count, freq="7D")
    rows = {"week": monday, "month": monday.to_period("M"), "is_tried": np.arange(count) % 2 == 1}
    return pd.DataFrame(rows | {"claims": np.resize(claims, count), "exposure": 50.0})


def test_a_trial_whose_weeks_vary_tells_less_than_one_with_the_same_claims_evenly_spread() -> None:
    even, uneven = (look_by_week(each, "week") for each in (weeks(2.0, 1.0), weeks(4.0, 0.0, 0.0, 2.0)))
    assert even is not None and uneven is not None
    assert (even.claims_seen, even.freedom) == (13.0, np.inf)
    assert uneven.error > 1.3 * even.error
    # 26 weeks less two methods and five months, of few claims each.
    assert 10.0 < uneven.freedom < 19.0


def test_a_few_weeks_do_not_tell_how_weeks_vary() -> None:
    """Of eleven weeks in three months seven would be left; sales that chance assigns need not wait."""
    assert look_by_week(weeks(20.0, 10.0, count=11), "week") is None
    assert look_by_week(weeks(20.0, 10.0, count=16), "week") is not None
    both = pd.concat([weeks(20.0, count=11), weeks(10.0, count=11).assign(is_tried=lambda rows: ~rows["is_tried"])])
    assert look_by_week(both, "sale") is not None


def test_what_a_week_does_to_both_methods_alike_counts_for_nothing_where_sales_decide() -> None:
    both = pd.concat([weeks(8.0, 2.0).assign(is_tried=at) for at in (False, True)])
    look = look_by_week(both, "sale")
    assert look is not None and look.freedom == np.inf


def test_months_are_of_whole_weeks() -> None:
    """2026-06-29 to 2026-07-05 is a week of June."""
    known = damage_records(shop(30, 10))
    own = pd.DataFrame({"shipped_on": pd.to_datetime(["2026-06-29", "2026-07-05", "2026-07-06"]), "arm": "foam"})
    found = weeks_of(own.assign(parcel_id=["a", "b", "c"]), ARMS, known)
    assert found["month"].astype(str).tolist() == ["2026-06", "2026-07"]
    assert found["exposure"].round().tolist() == [2, 1]


@pytest.mark.parametrize(
    "name", ["weeks that vary by three fifths, many parcels", "parcels that break by threes, many"]
)
def test_drawn_trials_of_methods_that_are_alike_are_seldom_told_apart(name: str) -> None:
    """`python -m tests.benchmarks trials` draws more of them. By chance alone a quarter to a third were wrong."""
    written = [bench_trials.verdict(bench_trials.ALIKE[name], bench_trials.seeded(at, name)) for at in range(60)]
    assert written.count(WORKED) + written.count(WORSE) <= 5


def offers(sent: Made, broken: Made, **more: Any) -> pd.DataFrame:
    return written(question(sent, broken, **more))["analysis.trial_proposals"]


def test_a_method_never_used_is_offered_as_a_trial_where_halving_would_pay_and_a_year_suffices() -> None:
    """Foam costs $5.00 more a parcel; damage costs $100 of each tenth parcel, half of it is $5.00 and a little more."""
    sent = parcels(2_000)
    row = only(offers(sent, claims(sent[::8])))
    assert (row["usual_method"], row["other_method"], row["trial_reason"]) == ("paper", "foam", "seldom used")
    assert row["more_packing_cents"] == 500
    # They were sent in 240 days, all that is on record.
    assert row["yearly_parcel_count"] == pytest.approx(2_000 * 365 / 240, abs=1)
    assert row["needed_days"] == pytest.approx(240 * row["needed_parcel_count"] / 2_000, abs=2)
    assert offers(sent, claims(sent[::40])).empty


def test_a_method_that_other_goods_prove_to_break_more_is_not_offered() -> None:
    """Bags cost less than paper, so that they would pay; on four other goods they break as often, or five times so."""
    costs = [*COSTS, {"packing_method": "bags", "material_cents": 20, "pack_minutes": 2.0}]
    goods = [parcels(600, item_type=name) for name in ("tube", "base", "rod", "globe")]
    bagged = [[row | {"packing_method": "bags"} for row in each] for each in goods]
    sent = parcels(2_000)
    usual = [*sent[::20], *(row for each in goods for row in each[::20])]
    alike, more = (
        offers(
            [*sent, *(row for each in (*goods, *bagged) for row in each)],
            claims([*usual, *(row for each in bagged for row in each[::step])]),
            costs=costs,
        )
        for step in (20, 4)
    )
    assert "bags" in set(alike.loc[alike["item_type"] == "tripod", "other_method"])
    assert "bags" not in set(more.loc[more["item_type"] == "tripod", "other_method"])


def test_a_running_trial_of_the_goods_leaves_nothing_to_offer() -> None:
    asked = shop(30, 30, as_of="2026-07-15")
    assert written(asked)["analysis.trial_proposals"].empty
