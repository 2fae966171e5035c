"""How large a trial is."""

from __future__ import annotations

import pytest

from models.damage.trials import FOR_MANY_LOOKS, days_needed, parcels_needed


@pytest.mark.published
@pytest.mark.from_memory
def test_parcels_of_a_trial_against_a_published_number() -> None:
    """J. L. Fleiss, B. Levin, M. C. Paik, "Statistical Methods for Rates and Proportions", 3rd ed. (2003), sample sizes
    without continuity correction: 10 against 5 percent, 5 percent two-sided, power 80 percent, 435 in each group.
    From memory. Times two methods, and more for looking at each month end and weeks that may
    vary."""
    assert parcels_needed(0.10, 0.5) == pytest.approx(2 * 435 * FOR_MANY_LOOKS, rel=0.01)


def test_nothing_to_find_needs_no_trial() -> None:
    assert parcels_needed(0.05, 1.0) is None
    assert days_needed(100, 0) is None


def test_days_follow_from_last_years_volume() -> None:
    assert days_needed(272, 272) == 365
    assert days_needed(2_474, 272) == 3_320
