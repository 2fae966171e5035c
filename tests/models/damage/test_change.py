"""Verdicts on logged changes against a control."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from models.columns.changes import NO_EFFECT, TOO_EARLY, WORKED, WORSE
from models.damage.change import SIDE, judge_change, relative
from models.damage.comparison import Ratio
from models.errors import SettingsError


def around(value: float, error: float) -> Ratio:
    return Ratio(value, float(value * np.exp(-1.959964 * error)), float(value * np.exp(1.959964 * error)))


@pytest.mark.published
def test_ratio_of_two_relative_risks() -> None:
    """D. G. Altman, J. M. Bland, "Interaction revisited: the difference between two estimates", BMJ 326 (2003), 219:
    relative risks 0.67 and 0.88 give a difference of logarithms of -0.2726 with standard error 0.2206, z -1.24."""
    found = relative(Ratio(0.67, 0.46, 0.98), Ratio(0.88, 0.71, 1.08))
    error = np.log(found.high / found.low) / (2 * 1.959964)
    assert np.log(found.value) == pytest.approx(-0.2726, abs=2e-4)
    assert error == pytest.approx(0.2206, abs=1e-3)  # the limits are printed with two digits
    assert np.log(found.value) / error == pytest.approx(-1.24, abs=0.01)


@pytest.mark.published
def test_ratio_of_two_relative_risks_in_two_trials() -> None:
    """Annals of the Rheumatic Diseases (BMJ), table "Comparing relative risks in two risk groups": logarithms -0.7765
    (0.4081) and -0.3567 (0.1692) give the ratio 0.66, 0.28 to 1.56; -0.6931 (0.3598) and -0.4620 (0.2178) give 0.79.
    """
    first = relative(around(float(np.exp(-0.7765)), 0.4081), around(float(np.exp(-0.3567)), 0.1692))
    second = relative(around(float(np.exp(-0.6931)), 0.3598), around(float(np.exp(-0.4620)), 0.2178))
    assert (first.value, first.low, first.high) == pytest.approx((0.66, 0.28, 1.56), abs=5e-3)
    assert second.value == pytest.approx(0.79, abs=5e-3)


def sides(*rows: tuple[str, bool, bool, float, float]) -> pd.DataFrame:
    return pd.DataFrame(list(rows), columns=list(SIDE))


STEADY = (("mount", False, False, 40, 2_000.0), ("mount", False, True, 20, 1_000.0))


@pytest.mark.parametrize(("after", "verdict"), [(8, WORKED), (24, TOO_EARLY), (41, NO_EFFECT), (90, WORSE)], ids=str)
def test_verdicts(after: int, verdict: str) -> None:
    """Before: 80 of 2000. After: so many of 1000, where 40 were to be expected; the control stays as it was."""
    found = judge_change(
        sides(("tube", True, False, 80, 2_000), ("tube", True, True, after, 1_000), *STEADY), expected_ratio=0.4
    )
    assert found.verdict == verdict
    assert found.claims_expected == pytest.approx(40)
    assert found.claims_seen == after
    assert found.measured is not None
    assert found.measured.value == pytest.approx(after / 40)


def test_a_bad_season_is_not_held_against_the_change() -> None:
    """Changed goods break as often as before, while everything else breaks three times as often."""
    rows = sides(
        ("tube", True, False, 80, 2_000),
        ("tube", True, True, 40, 1_000),
        ("mount", False, False, 200, 10_000),
        ("mount", False, True, 300, 5_000),
    )
    found, alone = judge_change(rows), judge_change(rows[rows["is_changed"]])
    assert (found.verdict, found.has_control) == (WORKED, True)
    assert (alone.verdict, alone.has_control) == (NO_EFFECT, False)


def test_few_parcels_are_too_early_even_without_a_claim() -> None:
    found = judge_change(sides(("tube", True, False, 80, 2_000), ("tube", True, True, 0, 100), *STEADY))
    assert (found.verdict, found.claims_expected) == (TOO_EARLY, 4)


def test_harm_is_said_before_five_claims_were_due() -> None:
    found = judge_change(sides(("tube", True, False, 20, 2_000), ("tube", True, True, 12, 100), *STEADY))
    assert found.verdict == WORSE


def test_no_parcel_after_the_change_is_too_early() -> None:
    found = judge_change(sides(("tube", True, False, 80, 2_000), *STEADY))
    assert (found.verdict, found.measured) == (TOO_EARLY, None)


def test_no_claim_on_any_side_is_too_early() -> None:
    found = judge_change(sides(("tube", True, False, 0, 2_000), ("tube", True, True, 0, 1_000)))
    assert found.verdict == TOO_EARLY
    assert found.measured is not None
    assert np.isfinite(found.measured.high)


def test_item_types_are_compared_within_themselves() -> None:
    """Both types halve; afterwards far more of the fragile one is shipped, so the crude rate rises."""
    rows = sides(
        ("tube", True, False, 40, 400),
        ("tube", True, True, 100, 2_000),
        ("tripod", True, False, 40, 4_000),
        ("tripod", True, True, 2, 400),
    )
    found = judge_change(rows)
    assert found.measured is not None
    assert found.measured.value == pytest.approx(0.5, abs=0.02)
    assert found.verdict == WORKED


@pytest.mark.parametrize("ratio", [0.0, -1.0, 1.0])
def test_an_expected_ratio_that_expects_nothing_is_refused(ratio: float) -> None:
    with pytest.raises(SettingsError, match="expected ratio"):
        judge_change(sides(*STEADY), expected_ratio=ratio)
