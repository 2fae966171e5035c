"""Cases of the sentences on insuring and on claims that are one more of a pattern."""

from __future__ import annotations

from typing import Any

import pandas as pd

from tests.dashboards.sentences.cases import BEFORE, Case, Tables, row, rows

RULES, LEDGER, PATTERNS = "analysis.insurance_rules", "marts.insurance_ledger", "analysis.damage_patterns"


def _rule(low: int, net: int, high: int, *, is_fragile_only: bool = False, is_too_few: bool = False) -> dict[str, Any]:
    money = {"net_low_cents": low, "net_cents": net, "net_high_cents": high}
    return {**money, "is_fragile_only": is_fragile_only, "is_too_few": is_too_few, "least_worth_cents": 15_000}


def _rules(*given: dict[str, Any]) -> Tables:
    return rows(RULES, *given)


def _pattern(month: object = pd.Timestamp("2027-03-01"), **cells: Any) -> Tables:
    known = {"claim_ids": "Q1, Q2", "claim_count": 2, "like_damaged_count": 12, "like_count": 114, "is_pattern": True}
    return row(PATTERNS, reported_month=month, pattern_chance=0.005, **known | cells)


PAYS, LOSES, OPEN = _rule(100, 900, 2_000), _rule(-900, -500, -100), _rule(-900, 100, 800)
FRAGILE = _rule(200, 950, 1_900, is_fragile_only=True)
FEW = _rule(100, 900, 2_000, is_too_few=True)
CASES: dict[str, Case] = {
    "insurance.pays_all": Case(
        _rules(LOSES, PAYS),
        (_rules(LOSES), _rules(OPEN), _rules(FEW), _rules(PAYS, FRAGILE)),
        "every parcel worth $150.00 or more would have brought $9.00 more than its premium of $12.50 ($1.00 to $20.00",
    ),
    "insurance.pays_fragile": Case(
        _rules(PAYS, FRAGILE), (_rules(PAYS), _rules(OPEN), _rules(LOSES)), "fragile goods worth $150.00 or more"
    ),
    "insurance.loses": Case(
        _rules(LOSES, _rule(-5_000, -4_000, -3_000)),
        (_rules(LOSES, OPEN), _rules(PAYS), _rules(_rule(-900, -500, -100, is_too_few=True))),
        "would have come to",
    ),
    "insurance.not_clear": Case(
        _rules(LOSES, OPEN), (_rules(LOSES), _rules(PAYS, OPEN), _rules(FEW), rows(RULES)), "do not prove"
    ),
    "insurance.too_few": Case(
        _rules(FEW), (_rules(FEW, OPEN), rows(RULES)), "60 claims on insured parcels and 60 on others"
    ),
    "insurance.no_parcel": Case(rows(LEDGER), (row(LEDGER), {})),
    "insurance.none_settled": Case(
        {**rows(RULES), **row(LEDGER)},
        ({**_rules(PAYS), **row(LEDGER)}, {**rows(RULES), **row(LEDGER, premium_cents=0)}, rows(RULES), row(LEDGER)),
        "No premium on record is of a parcel sent more than 90 days before",
    ),
    "insurance.no_premium": Case(row(LEDGER, premium_cents=0), (row(LEDGER), rows(LEDGER)), "No charge on record"),
    "patterns.claim": Case(
        _pattern(),
        (_pattern(is_pattern=False), _pattern(BEFORE), rows(PATTERNS)),
        "2 claims fit a pattern in March 2027 (Q1, Q2): 12 of 114 parcels were damaged with anvil",
    ),
    "patterns.none": Case(
        _pattern(is_pattern=False), (_pattern(), _pattern(BEFORE, is_pattern=False), rows(PATTERNS)), "No damage claim"
    ),
}
