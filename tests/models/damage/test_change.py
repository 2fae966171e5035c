"""Verdicts on logged changes against a control, over all looks."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from models.columns.changes import NO_EFFECT, NOT_SETTLED, TOO_EARLY, WORKED, WORSE
from models.damage.change import ChangeVerdict, Look, judge_change, look_at, relative
from models.damage.comparison import STRATUM, Ratio
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


def strata(*rows: tuple[str, bool, float, float, float, float]) -> pd.DataFrame:
    """Item type, whether it was changed, claims and exposure after, claims and exposure before."""
    return pd.DataFrame(list(rows), columns=["stratum", "is_changed", *STRATUM[1:]])


STEADY = ("mount", False, 20.0, 1_000.0, 40.0, 2_000.0)


def once(*rows: tuple[str, bool, float, float, float, float], expected_ratio: float = 0.5) -> ChangeVerdict:
    """One look of one that is planned."""
    return judge_change([look_at(strata(*rows))], planned=1, expected_ratio=expected_ratio)


@pytest.mark.parametrize(("after", "verdict"), [(8, WORKED), (24, NOT_SETTLED), (41, NO_EFFECT), (90, WORSE)], ids=str)
def test_verdicts(after: int, verdict: str) -> None:
    """Before: 80 of 2000. After: so many of 1000, where 40 were to be expected; the control stays as it was."""
    found = once(("tube", True, after, 1_000, 80, 2_000), STEADY, expected_ratio=0.4)
    assert found.verdict == verdict
    assert found.seen is not None and found.measured is not None
    assert found.seen.claims_expected == pytest.approx(40)
    assert found.seen.claims_seen == after
    assert found.measured.value == pytest.approx(after / 40)


def test_a_bad_season_is_not_held_against_the_change() -> None:
    """Changed goods break as often as before, while everything else breaks three times as often."""
    rows = strata(("tube", True, 40, 1_000, 80, 2_000), ("mount", False, 300, 5_000, 200, 10_000))
    looks = look_at(rows), look_at(rows[rows["is_changed"]])
    found, alone = (judge_change([look], planned=1) for look in looks)
    assert (found.verdict, alone.verdict) == (WORKED, NO_EFFECT)
    assert [look is not None and look.has_control for look in looks] == [True, False]


def test_few_parcels_are_too_early_even_without_a_claim() -> None:
    look = look_at(strata(("tube", True, 0, 100, 80, 2_000), STEADY))
    found = judge_change([look], planned=24)
    assert found.verdict == TOO_EARLY
    assert look is not None and look.claims_expected == 4


def test_harm_is_said_before_five_claims_were_due() -> None:
    assert once(("tube", True, 12, 100, 20, 2_000), STEADY).verdict == WORSE


@pytest.mark.parametrize(("planned", "verdict"), [(2, TOO_EARLY), (1, NOT_SETTLED)])
def test_no_parcel_after_the_change_is_too_early_until_the_last_look(planned: int, verdict: str) -> None:
    found = judge_change([look_at(strata(("tube", True, 0, 0, 80, 2_000), STEADY))], planned=planned)
    assert (found.verdict, found.measured, found.likely) == (verdict, None, None)


def test_no_claim_on_any_side_tells_nothing() -> None:
    found = judge_change([look_at(strata(("tube", True, 0, 1_000, 0, 2_000)))], planned=24)
    assert found.verdict == TOO_EARLY
    assert found.measured is not None
    assert np.isfinite(found.measured.low)


def test_item_types_are_compared_within_themselves() -> None:
    """Both types halve; afterwards far more of the fragile one is shipped, so the crude rate rises."""
    found = once(("tube", True, 100, 2_000, 40, 400), ("tripod", True, 2, 400, 40, 4_000))
    assert found.measured is not None
    assert found.measured.value == pytest.approx(0.5, abs=0.02)
    assert found.verdict == WORKED


def steps(*middles: float, error: float = 0.25, expected: float = 20.0) -> list[Look | None]:
    """Looks at a growing record: the error falls with its root."""
    return [
        Look(middle, error / np.sqrt(at), expected * at, 0.0, True, at / error**2)
        for at, middle in enumerate(middles, start=1)
    ]


def test_the_first_look_that_proves_it_gives_the_verdict_and_later_ones_do_not_take_it_back() -> None:
    looks = steps(-0.3, -0.6, -0.1, 0.2)
    assert [judge_change(looks[:count], planned=24).verdict for count in (1, 2, 3, 4)] == [
        *(TOO_EARLY, WORKED, WORKED, WORKED)
    ]
    found = judge_change(looks, planned=24)
    assert found.at == 1
    assert found.measured is not None and found.likely is not None
    assert found.measured.high < 1.0
    assert found.measured.value == pytest.approx(np.exp(-0.6))
    # What is likely is of the last look.
    assert found.likely.value > 1.0


def test_limits_are_wider_than_for_one_look_and_the_wider_the_earlier() -> None:
    one, early, late = (
        judge_change(steps(*[-0.01] * count), planned=planned).measured
        for count, planned in ((1, 1), (1, 24), (24, 24))
    )
    assert one is not None and early is not None and late is not None
    widths = [np.log(each.high / each.value) for each in (one, early)]
    assert widths[0] == pytest.approx(1.96 * 0.25, abs=1e-3)
    assert widths[1] > 1.4 * widths[0]
    assert 1.96 * 0.25 < np.log(late.high / late.value) * np.sqrt(24) < widths[1]


def test_what_is_likely_lies_between_no_change_and_what_was_measured() -> None:
    (exact,), (vague,) = steps(-1.0, error=0.01), steps(-1.0, error=2.0)
    near, far = (judge_change([look], planned=24).likely for look in (exact, vague))
    assert near is not None and far is not None
    assert near.value == pytest.approx(np.exp(-1.0), abs=1e-3)
    # Normal prior with standard deviation 0.7, normal likelihood with 2: the posterior mean by hand.
    assert np.log(far.value) == pytest.approx(-1.0 * 0.49 / (0.49 + 4.0))
    assert far.low < 1.0 < far.high


def test_looks_after_the_last_planned_one_change_nothing() -> None:
    looks = steps(*[-0.05] * 24, -3.0)
    assert judge_change(looks, planned=24, expected_ratio=0.95).verdict == NOT_SETTLED


@pytest.mark.parametrize("ratio", [0.0, -1.0, 1.0])
def test_an_expected_ratio_that_expects_nothing_is_refused(ratio: float) -> None:
    with pytest.raises(SettingsError, match="expected ratio"):
        once(STEADY, expected_ratio=ratio)
