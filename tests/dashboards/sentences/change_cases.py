"""Cases of the sentences on logged changes."""

from __future__ import annotations

from typing import Any

import pandas as pd

from tests.dashboards.sentences.cases import Case, Tables, row, rows, states

CHANGES = "analysis.change_judgements"
AGAIN = pd.Timestamp("2027-02-02")


def _change(verdict: str, **more: Any) -> Tables:
    known = {"claims_expected": 9.0, "measured_ratio": 0.4, "expected_ratio": 0.5, "has_control": True}
    return row(CHANGES, verdict=verdict, **known | {"changed_again_on": pd.NaT} | more)


CASES: dict[str, Case] = {
    "changes.worked": Case(
        _change("worked", measured_ratio=0.4, claims_seen=1, change_made="straw out"),
        (_change("worse"), _change("worked", measured_ratio=None), rows(CHANGES)),
        "Damage after / before: 0.4 (1.5 to 1.5) on 1 Mar 2027, from 1 claim after the change; target 0.5. The whole "
        "interval lies below one. Adjusted for how few claims there are, damage is 1.5 of before (1.5 to 1.5).",
    ),
    "changes.worse": Case(_change("worse"), (_change("worked"), _change("too early")), "lies above one."),
    "changes.no_effect": Case(
        _change("no effect seen"),
        (_change("worked"), _change("too early")),
        "The interval holds one but not the target.",
    ),
    "changes.too_early_few": Case(
        _change("too early", claims_expected=1.0, measured_high=None, claims_seen=1),
        (
            _change("too early", claims_expected=5.0),
            _change("worked", claims_expected=1.0),
            _change("too early", claims_expected=0.0, measured_ratio=None),
        ),
        "At the old rate 1 claim would be expected after the change by 1 Mar 2027, which is too few; 1 was reported.",
    ),
    "changes.too_early": Case(
        _change("too early", claims_expected=5.0),
        (
            _change("too early", claims_expected=4.9),
            _change("worked"),
            _change("not settled"),
            _change("too early", changed_again_on=AGAIN),
        ),
        "The interval holds both one and the target; the next month end may tell.",
    ),
    "changes.too_early_to_the_end": Case(
        _change("too early", changed_again_on=AGAIN),
        (
            _change("too early"),
            _change("worked", changed_again_on=AGAIN),
            _change("too early", claims_expected=4.9, changed_again_on=AGAIN),
        ),
        "only claims still to come on the parcels sent before the next change can tell more.",
    ),
    "changes.not_settled": Case(
        _change("not settled", planned_look_count=24),
        (_change("too early"), _change("worked")),
        "After 24 months the interval holds both one and the target; that was the last look.",
    ),
    "changes.left_out": Case(
        _change("worked", change_reason="bad month"),
        (_change("worked", change_reason="planned"), _change("worked", change_reason="not stated")),
        "a bad month led to it, so the three months before are left out.",
    ),
    "changes.drawn": Case(
        _change("worked", change_reason="worst of several"),
        (_change("worked", change_reason="planned"), _change("too early", measured_ratio=None)),
        "what was before is drawn towards the other item types.",
    ),
    "changes.no_reason": Case(
        _change("worked", change_reason="not stated"),
        (_change("worked", change_reason="planned"), _change("worked", change_reason="claim")),
        'write because = "planned" into its entry',
    ),
    "changes.not_measured": Case(
        row(CHANGES, measured_ratio=None),
        (row(CHANGES), {**row(CHANGES, measured_ratio=None), **states(claims=0)}),
        "nothing can be measured.",
    ),
    "changes.without_claims": Case(
        {**row(CHANGES, measured_ratio=None), **states(claims=0)},
        (row(CHANGES, measured_ratio=None), {**row(CHANGES), **states(claims=3)}),
        "no claims are on record",
    ),
    "changes.no_control": Case(
        _change("worked", has_control=False),
        (_change("worked"), _change("too early", has_control=False, measured_ratio=None)),
        "no item type was left alone to compare with",
    ),
    "changes.changed_again": Case(
        _change("worked", changed_again_on=AGAIN),
        (_change("worked"), _change("too early", changed_again_on=AGAIN, measured_ratio=None)),
        "changed again on 2 Feb 2027; parcels sent from then on do not count.",
    ),
    "changes.none": Case(rows(CHANGES), (row(CHANGES), {})),
}
