"""Cases of the sentences on logged changes."""

from __future__ import annotations

from typing import Any

from tests.dashboards.sentences.cases import Case, Tables, row, rows

CHANGES = "analysis.change_judgements"


def _change(verdict: str, **more: Any) -> Tables:
    return row(
        CHANGES, verdict=verdict, **{"claims_expected": 9.0, "measured_ratio": 0.4, "expected_ratio": 0.5} | more
    )


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
        (_change("too early", claims_expected=5.0), _change("worked", claims_expected=1.0)),
        "At the old rate 1 claim would be expected after the change by 1 Mar 2027, which is too few; 1 was reported.",
    ),
    "changes.too_early": Case(
        _change("too early", claims_expected=5.0),
        (_change("too early", claims_expected=4.9), _change("worked"), _change("not settled")),
        "The interval holds both one and the target; the next month end may tell.",
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
    "changes.not_measured": Case(row(CHANGES, measured_ratio=None), (row(CHANGES),), "Nothing could be measured."),
    "changes.none": Case(rows(CHANGES), (row(CHANGES), {})),
}
