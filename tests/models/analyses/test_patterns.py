"""Which claims are one more of a pattern: by given counts, and against reference libraries."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pandas as pd
import pytest
from scipy.stats import false_discovery_control, fisher_exact

from models.analyses.patterns import compute
from models.analyses.question import Question

COUNTS = [(114, 12, 560, 21), (40, 4, 634, 29), (300, 3, 374, 30), (20, 1, 654, 32)]


def claim(at: int, number: int, month: str = "2026-10-01") -> dict[str, Any]:
    like, hit, other, hits = COUNTS[at]
    return {
        **{"reported_month": month, "item_type": "tube", "packing_method": "foam", "carton_code": f"K{at}"},
        **{"carrier": "Tern", "claim_id": f"C{number}", "like_count": like, "like_damaged_count": hit},
        **{"other_count": other, "other_damaged_count": hits},
    }


def found(rows: list[dict[str, Any]]) -> pd.DataFrame:
    tables = {"damage_groups": pd.DataFrame(rows)}
    return compute(Question(tables, dt.date(2026, 11, 1)))["analysis.damage_patterns"]


def test_chances_and_their_correction_agree_with_reference_libraries() -> None:
    rows = found([claim(at, at) for at in range(4)])
    exact = [fisher_exact([[h, n - h], [k, m - k]], "greater").pvalue for n, h, m, k in COUNTS]
    assert list(rows["pattern_chance"]) == pytest.approx(exact)
    assert list(rows["corrected_chance"]) == pytest.approx(list(false_discovery_control(exact)))
    assert list(rows["is_pattern"]) == [True, False, False, False]


def test_a_group_counts_once_however_many_claims_it_had_and_stands_in_each_of_their_months() -> None:
    rows = found([claim(0, 1), claim(0, 2), claim(0, 3, "2026-09-01"), claim(1, 4)])
    assert list(zip(rows["reported_month"].dt.month, rows["claim_count"], rows["claim_ids"], strict=True)) == [
        (9, 1, "C3"),
        (10, 2, "C1, C2"),
        (10, 1, "C4"),
    ]
    alone = found([claim(0, 1), claim(1, 4)])
    assert rows["corrected_chance"].iloc[0] == alone["corrected_chance"].iloc[0]


def test_without_others_of_the_item_type_nothing_is_known() -> None:
    (row,) = found([claim(0, 1) | {"other_count": 0, "other_damaged_count": 0}]).to_dict("records")
    assert pd.isna(row["pattern_chance"]) and pd.isna(row["settled_count"]) and not row["is_pattern"]
