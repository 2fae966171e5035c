"""What a claim teaches: counts with interval, chance of so many, parcels that would settle it, rules of thumb."""

from __future__ import annotations

from itertools import product
from typing import Any

import pytest
from scipy.stats import fisher_exact
from statsmodels.stats.power import NormalIndPower

from models.claims.lessons import at_least, broken, lesson, needed


def counts(like: int, hit: int, other: int, other_hit: int) -> dict[str, int]:
    names = ("like_count", "like_damaged_count", "other_count", "other_damaged_count")
    return dict(zip(names, (like, hit, other, other_hit), strict=True))


@pytest.mark.parametrize(("hits", "drawn", "marked"), list(product((0, 1, 3), (3, 10), (3, 7))))
def test_the_chance_is_fishers_exact_test(hits: int, drawn: int, marked: int) -> None:
    """scipy 1.17, fisher_exact(alternative="greater")."""
    whole = 40
    rest = [[hits, drawn - hits], [marked - hits, whole - drawn - marked + hits]]
    assert at_least(hits, drawn, marked, whole) == pytest.approx(fisher_exact(rest, alternative="greater").pvalue)


@pytest.mark.from_memory
def test_parcels_needed_are_those_of_the_textbook_and_near_a_reference_library() -> None:
    """Rates of 5 % and 10 %, 5 % two-sided, power 80 %: 435 each by the formula without correction."""
    assert needed(0.05, 0.10) == 435
    near = NormalIndPower().solve_power(0.1924, alpha=0.05, power=0.8)
    assert needed(0.05, 0.10) == pytest.approx(near, rel=0.05)
    assert needed(0.1, 0.1) is None


def test_a_pattern_is_what_chance_seldom_does() -> None:
    rare, usual = lesson(counts(20, 5, 400, 8)), lesson(counts(20, 1, 400, 8))
    assert rare is not None and rare.is_pattern
    assert usual is not None and not usual.is_pattern
    assert rare.like_interval[0] < 5 / 20 < rare.like_interval[1]
    alone = lesson(counts(3, 1, 0, 0))
    assert alone is not None and (alone.chance, alone.settled_by, alone.is_pattern) == (None, None, False)
    assert lesson(counts(0, 0, 50, 1)) is None


@pytest.mark.common_practice
def test_rules_of_thumb_are_reported_only_where_records_say_that_they_were_broken() -> None:
    def written(weight: float | None, clearance: float | None, declared: int | None, fragile: bool | None) -> int:
        parcel: dict[str, Any] = {"scale_weight_lb": weight, "declared_value_cents": declared, "insured_cents": None}
        return len(broken(parcel, [{"is_fragile": fragile}], clearance))

    assert written(45.0, 1.0, None, True) == 3
    assert written(40.0, 2.0, 18_900, True) == 0
    assert written(None, None, None, None) == 0
    assert written(45.0, 0.5, None, False) == 1
