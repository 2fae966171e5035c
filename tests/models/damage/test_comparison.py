"""Methods compared within strata, against published tables."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import norm
from statsmodels.datasets.china_smoking import load_pandas
from statsmodels.stats.multitest import multipletests

from models.damage.comparison import Ratio, adjust, compare, compare_methods, hold_together, reach_of_chosen, strata_of
from models.errors import ContractError
from tests.models.damage.published import admissions, strata, vaccine_trials
from tests.sampling import tries


@pytest.mark.published
def test_admissions_reverse_their_sign_within_departments() -> None:
    """R 4, help page mantelhaen.test with data set UCBAdmissions (Bickel et al., Science 187 (1975)): common odds ratio
    0.9046968, 95 % interval 0.7719074 to 1.0603298, p 0.2323 with continuity correction. Crude odds ratio 1.8411 and
    Tarone 18.8255, p 0.00207: statsmodels 0.15.0 StratifiedTable and Table2x2."""
    found = compare(admissions())
    assert found is not None
    assert found.odds_ratio.value == pytest.approx(0.9046968, abs=5e-8)
    assert (found.odds_ratio.low, found.odds_ratio.high) == pytest.approx((0.7719074, 1.0603298), abs=5e-8)
    assert found.p_value == pytest.approx(0.2323, abs=5e-5)
    assert found.homogeneity_p == pytest.approx(0.00207, abs=5e-6)
    assert found.crude_ratio > 1.4
    assert found.is_reversed
    assert found.crude_and_adjusted_disagree


@pytest.mark.published
def test_pooled_risk_and_odds_ratios_of_the_vaccine_trials() -> None:
    """G. A. Colditz et al., JAMA 271 (1994), 698-702, thirteen trials. Mantel-Haenszel risk ratio with Greenland and
    Robins' interval 0.6353 (0.5881 to 0.6862), log odds ratio -0.4734 (-0.5538 to ...), as held by the tests of the R
    package metafor against Stata's metan (tests/testthat/test_misc_metan_vs_rma.mh_with_dat.bcg.r); four decimals."""
    found = compare(vaccine_trials())
    assert found is not None
    ratio = found.risk_ratio
    assert (ratio.value, ratio.low, ratio.high) == pytest.approx((0.6353, 0.5881, 0.6862), abs=5e-5)
    logs = np.log([ratio.value, ratio.low, ratio.high])
    np.testing.assert_allclose(logs, [-0.4537, -0.5308, -0.3766], atol=5e-5)
    assert np.log([found.odds_ratio.value, found.odds_ratio.low]) == pytest.approx([-0.4734, -0.5538], abs=5e-5)


@pytest.mark.published
def test_smoking_and_lung_cancer_in_eight_cities() -> None:
    """Z. Liu, International Journal of Epidemiology 21 (1992), data set china_smoking of statsmodels; its documentation
    of StratifiedTable prints the pooled odds ratio 2.174 (1.984 to 2.383), risk ratio 1.519 and homogeneity 5.200,
    p 0.636."""
    cities = load_pandas().data.itertuples(name=None)
    found = compare(strata(*((city, a, a + b, c, c + d) for city, a, b, c, d in cities)))
    assert found is not None
    odds = found.odds_ratio
    assert (odds.value, odds.low, odds.high) == pytest.approx((2.174, 1.984, 2.383), abs=5e-4)
    assert found.risk_ratio.value == pytest.approx(1.519, abs=5e-4)
    assert found.homogeneity_p == pytest.approx(0.636, abs=5e-4)


@pytest.mark.published
def test_false_discovery_rate() -> None:
    """Y. Benjamini, Y. Hochberg, Journal of the Royal Statistical Society B 57 (1995), 289-300, section 4.1: of fifteen
    p-values the first four stand at a rate of 0.05."""
    p_values = np.array(
        [
            0.0001,
            0.0004,
            0.0019,
            0.0095,
            0.0201,
            0.0278,
            0.0298,
            0.0344,
            0.0459,
            0.3240,
            0.4262,
            0.5719,
            0.6528,
            0.7590,
            1,
        ]
    )
    stands, adjusted = adjust(p_values)
    assert stands.tolist() == [True] * 4 + [False] * 11
    assert adjusted[3] == pytest.approx(0.0095 * 15 / 4)


def test_no_p_values_are_no_findings() -> None:
    stands, adjusted = adjust(np.array([]))
    assert stands.size == adjusted.size == 0


def test_methods_without_a_common_item_type_cannot_be_compared() -> None:
    assert compare(strata(("tube", 3, 50, 0, 0), ("tripod", 0, 0, 2, 40))) is None
    assert compare(strata()) is None


def test_one_method_without_a_claim_gives_a_finite_ratio_and_says_so() -> None:
    """One stratum: half a claim and half a whole parcel to each method (0.5 / 21) / (3.5 / 31)."""
    found = compare(strata(("tube", 0, 20, 3, 30)))
    assert found is not None
    assert found.is_corrected
    assert found.risk_ratio.value == pytest.approx((0.5 / 21) / (3.5 / 31))
    assert found.risk_ratio.low < 1 < found.risk_ratio.high
    assert found.is_too_few


def test_no_claim_on_either_side_tells_nothing() -> None:
    found = compare(strata(("tube", 0, 200, 0, 300), ("tripod", 0, 20, 0, 10)))
    assert found is not None
    assert found.p_value == 1.0
    assert found.homogeneity_p is None
    assert found.risk_ratio.low < 0.1
    assert found.risk_ratio.high > 10


def test_every_parcel_broken_on_both_sides() -> None:
    found = compare(strata(("tube", 20, 20, 30, 30)))
    assert found is not None
    assert found.risk_ratio.value == pytest.approx(1.0, abs=0.01)
    assert found.p_value == 1.0


def test_strata_with_one_method_only_are_counted_and_dropped() -> None:
    found = compare(strata(("tube", 3, 50, 9, 60), ("tripod", 0, 0, 2, 40)))
    assert found is not None
    assert (found.strata_used, found.strata_dropped) == (1, 1)
    assert found.risk_ratio.value == pytest.approx((3 / 50) / (9 / 60))


def test_many_claims_in_one_stratum_equal_the_plain_ratio_of_rates() -> None:
    """One stratum: the interval is that of D. Katz et al., Biometrics 34 (1978), 469-474, by hand."""
    found = compare(strata(("tube", 15, 200, 40, 250)))
    assert found is not None
    error = np.sqrt(1 / 15 - 1 / 200 + 1 / 40 - 1 / 250)
    ratio = (15 / 200) / (40 / 250)
    assert found.risk_ratio.low == pytest.approx(ratio * np.exp(-1.959964 * error), rel=1e-6)


CELLS = pd.DataFrame(
    [
        ("tube", "paper", 40, 800.0),
        ("tube", "foam", 6, 500.0),
        ("tripod", "paper", 10, 900.0),
        ("tripod", "foam", 2, 700.5),
        ("mount", "air", 1, 60.0),
        ("tripod", "air", 0, 10.0),
    ],
    columns=["item_type", "packing_method", "claims", "exposure"],
)


def test_strata_are_item_types() -> None:
    rows = strata_of(CELLS, "foam", "paper")
    assert rows["stratum"].tolist() == ["mount", "tripod", "tube"]
    assert rows["claims_a"].tolist() == [0, 2, 6]
    assert rows["exposure_b"].tolist() == [0, 900, 800]


def test_every_pair_is_compared_and_only_the_well_seen_one_is_called_different() -> None:
    pairs = compare_methods(CELLS).set_index(["method_a", "method_b"])
    assert set(pairs.index) == {("air", "foam"), ("air", "paper"), ("foam", "paper")}
    assert pairs.loc[("foam", "paper"), "is_different"]
    assert pairs["is_different"].sum() == 1
    assert np.all(pairs["adjusted_p"] >= pairs["p_value"])
    assert pairs.loc[("air", "foam"), "is_too_few"]


def test_one_method_only_has_no_pairs() -> None:
    assert compare_methods(CELLS[CELLS["packing_method"] == "air"]).empty


def test_a_missing_column_is_named() -> None:
    with pytest.raises(ContractError, match="exposure_b"):
        compare(pd.DataFrame({"stratum": [], "claims_a": [], "exposure_a": [], "claims_b": []}))


counts = st.tuples(st.integers(0, 12), st.floats(0, 300), st.integers(0, 12), st.floats(0, 300))


@settings(derandomize=True, deadline=None, max_examples=tries(80))
@given(st.lists(counts, min_size=1, max_size=5))
def test_swapping_the_methods_turns_the_ratio_over(rows: list[tuple[int, float, int, float]]) -> None:
    one = compare(strata(*((number, *row) for number, row in enumerate(rows))))
    other = compare(strata(*((number, c, d, a, b) for number, (a, b, c, d) in enumerate(rows))))
    assert (one is None) == (other is None)
    if one is None or other is None:
        return
    for ratio, turned in ((one.risk_ratio, other.risk_ratio), (one.odds_ratio, other.odds_ratio)):
        assert ratio.value == pytest.approx(1 / turned.value, rel=1e-6)
        assert ratio.low == pytest.approx(1 / turned.high, rel=1e-6)
    assert is_finite(one.risk_ratio)
    assert one.p_value == pytest.approx(other.p_value, abs=1e-9)


def is_finite(ratio: Ratio) -> bool:
    return 0 < ratio.low <= ratio.value <= ratio.high < np.inf


def test_statements_that_hold_together_are_asked_in_turns() -> None:
    """Worked by hand after Holm (1979): .002 is held to .05 / 4, .013 to .05 / 3, .03 to .05 / 2, which it misses; .04
    falls with it."""
    assert hold_together(np.array([0.013, 0.04, 0.03, 0.002]), 0.05).tolist() == [True, False, False, True]
    assert hold_together(np.array([0.013, 0.04, 0.02, 0.002]), 0.05).all()


@pytest.mark.published
def test_both_ways_to_hold_many_chances_are_those_of_a_reference_library() -> None:
    """statsmodels 0.15 multipletests, methods holm and fdr_bh; equal chances among them."""
    for count in (1, 2, 7, 30):
        chances = np.random.default_rng(count).beta(0.3, 3.0, count).round(3)
        held, raised = (multipletests(chances, alpha=0.05, method=method) for method in ("holm", "fdr_bh"))
        stands, adjusted = adjust(chances)
        assert hold_together(chances, 0.05).tolist() == held[0].tolist()
        assert stands.tolist() == raised[0].tolist()
        np.testing.assert_allclose(adjusted, raised[1], rtol=1e-12)


def test_limits_of_chosen_pairs_lie_beyond_nothing_wherever_they_are_chosen() -> None:
    """Six statements, chances as small as wanted: whatever Holm's rule takes, its limits do not reach nothing."""
    for chances in np.random.default_rng(3).uniform(0.0, 0.01, (200, 6)):
        chosen = hold_together(chances, 0.0125)
        reach = reach_of_chosen(int(chosen.sum()), 6, 0.0125)
        assert (norm.isf(chances[chosen]) > reach).all()


@pytest.mark.published
@pytest.mark.from_memory
def test_limits_of_chosen_statements_are_those_of_benjamini_and_yekutieli() -> None:
    """Y. Benjamini, D. Yekutieli, Journal of the American Statistical Association 100 (2005), 71-81, definition 1:
    where R of m parameters are chosen, each has limits of 1 - R q / m. From memory."""
    assert 1.0 - 2.0 * norm.sf(reach_of_chosen(3, 60, 0.025)) == pytest.approx(1.0 - 3 * 0.05 / 60)
    assert reach_of_chosen(60, 60, 0.025) == pytest.approx(1.959964, abs=1e-6)
    assert reach_of_chosen(0, 1, 0.025) == pytest.approx(1.959964, abs=1e-6)
