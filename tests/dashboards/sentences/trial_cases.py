"""Cases of the sentences on trials at the bench."""

from __future__ import annotations

from typing import Any

from tests.dashboards.sentences.cases import Case, Tables, row, rows, states

TRIALS, PROPOSALS = "analysis.trials", "analysis.trial_proposals"
DECISIONS = "analysis.packing_decision"


def _trial(state: str, verdict: str, **more: Any) -> Tables:
    known: dict[str, Any] = {"usual_method": "wool", "other_method": "straw", "trial_id": "t1", "tried_parcel_count": 1}
    known["unassigned_count"] = 0
    return row(TRIALS, trial_state=state, trial_verdict=verdict, **known | more)


def _offer(reason: str = "not settled", days: int = 365, parcels: int = 420) -> Tables:
    known = {"usual_method": "wool", "other_method": "straw", "needed_parcel_count": parcels, "needed_days": days}
    return row(PROPOSALS, trial_reason=reason, **known)


CASES: dict[str, Case] = {
    "trials.running": Case(
        _trial("running", "too early"),
        (_trial("ended", "too early"), _trial("ended", "breaks less"), rows(TRIALS)),
        "anvil, straw against wool (t1): from 1 Mar 2027 until 1 Mar 2027 at the latest; so far 60 claims on 1 "
        "parcel with straw, 60 on 60 with wool.",
    ),
    "trials.less": Case(
        _trial("ended", "breaks less", measured_ratio=0.4),
        (_trial("ended", "breaks more"), _trial("ended", "breaks less", measured_ratio=None)),
        "ended; the records up to 1 Mar 2027 prove that straw breaks less. Damage with straw / wool: 0.4 (1.5 to 1.5);",
    ),
    "trials.more": Case(
        _trial("ended", "breaks more"), (_trial("ended", "breaks less"), _trial("running", "too early")), "to wool."
    ),
    "trials.no_difference": Case(
        _trial("ended", "no difference seen"),
        (_trial("running", "no difference seen"), _trial("ended", "not settled")),
        "A difference is not proven, and one as large as the target of 1.5 is ruled out.",
    ),
    "trials.not_settled": Case(
        _trial("ended", "not settled"),
        (_trial("running", "too early"), _trial("ended", "no difference seen"), _trial("ended", "too early")),
        "the parcels were too few to tell;",
    ),
    "trials.waits_for_claims": Case(
        _trial("ended", "too early"),
        (_trial("running", "too early"), _trial("ended", "not settled")),
        "ended, and not settled so far;",
    ),
    "trials.without_claims": Case(
        {**_trial("running", "too early", usual_claim_count=None), **states(claims=0)},
        (_trial("running", "too early"), {**rows(TRIALS), **states(claims=0)}),
        "No claims are on record",
    ),
    "trials.unassigned": Case(
        _trial("running", "too early", unassigned_count=1),
        (_trial("running", "too early"), rows(TRIALS)),
        "t1: left out 1 parcel of anvil without an assignment.",
    ),
    "trials.not_followed": Case(
        _trial("running", "too early", followed_share=0.5),
        (_trial("running", "too early", followed_share=0.8), _trial("running", "too early", followed_share=None)),
        "t1: 50% of the assigned parcels",
    ),
    "trials.none": Case(rows(TRIALS), (_trial("running", "too early"), {})),
    "trials.offer_not_proven": Case(
        _offer(), (_offer("seldom used"), _offer(days=366), rows(PROPOSALS)), "on 420 parcels, about 365 days"
    ),
    "trials.offer_seldom": Case(
        _offer("seldom used"), (_offer(), _offer("seldom used", days=366)), "straw was seldom or never used on it"
    ),
    "trials.too_long": Case(
        _offer(days=366, parcels=2_474), (_offer(), _offer("seldom used", days=366)), "would take 2,474 parcels"
    ),
    "trials.none_within_a_year": Case(
        _offer(days=366), (_offer(), rows(PROPOSALS), rows(PROPOSALS, {"needed_days": 400}, {"needed_days": 300}))
    ),
    "trials.no_offer": Case(
        {**rows(PROPOSALS), **row(DECISIONS)},
        ({**rows(PROPOSALS), **row(DECISIONS), **states(claims=0)}, rows(PROPOSALS), _offer(), {}),
    ),
    "trials.no_costs": Case(
        {**rows(PROPOSALS), **rows(DECISIONS)},
        (
            {**rows(PROPOSALS), **rows(DECISIONS), **states(claims=0)},
            {**rows(PROPOSALS), **row(DECISIONS)},
            rows(PROPOSALS),
            _offer(),
        ),
    ),
    "trials.no_claims": Case(
        {**rows(PROPOSALS), **states(claims=0)}, ({**rows(PROPOSALS), **states(claims=1)}, rows(PROPOSALS), _offer())
    ),
}
