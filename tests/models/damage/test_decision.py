"""The packing decision: totals, chances, break-even and sample sizes."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import beta

from models.damage.arrays import FloatArray
from models.damage.decision import MethodCase, PackingDecision, counted_on, decide, parcels_per_arm
from models.errors import NotFoundError, SettingsError

POSTAGE = np.linspace(1_200, 1_800, 61)
LOSS = np.linspace(14_000, 16_000, 101)


def case(method: str, claims: float, parcels: float, **more: object) -> MethodCase:
    usual: dict[str, object] = {"material_cents": 60.0, "pack_minutes": 6.0, "carriage_cents": POSTAGE}
    usual |= {"severity_cents": LOSS} | more
    return MethodCase(method, damage_rates=drawn(method, claims, parcels), **usual)  # type: ignore[arg-type]


def drawn(method: str, claims: float, parcels: float) -> FloatArray:
    """Quantiles of the beta distribution with its very mean, in an order of each method's own."""
    rates = beta.ppf((np.arange(4_000) + 0.5) / 4_000, claims, parcels - claims)
    return np.asarray(np.random.default_rng(list(method.encode())).permutation(rates * claims / parcels / rates.mean()))


def foam(claims: float, parcels: float, **more: object) -> MethodCase:
    return case("foam", claims, parcels, material_cents=310.0, pack_minutes=9.0, carriage_cents=POSTAGE + 90, **more)


def decision(*cases: MethodCase, current: str = "paper", **more: float) -> PackingDecision:
    return decide(cases, current=current, wage_cents_per_hour=2_000, parcels_per_year=1_200, **more)  # type: ignore[arg-type]


def test_totals_are_the_sum_of_their_parts_by_hand() -> None:
    """Paper: 60 + 6 min at 20 an hour (200) + 1500 + 3 % of 15000 (450) = 2210; foam: 310 + 300 + 1590 + 75 = 2275."""
    methods = decision(case("paper", 30, 1_000), foam(5, 1_000)).methods.set_index("packing_method")
    paper = methods.loc[["paper"], ["packing_cents", "carriage_cents", "damage_cents", "total_cents"]]
    assert paper.to_numpy().tolist() == [[pytest.approx(each) for each in (260, 1_500, 450, 2_210)]]
    assert methods.loc["foam", "total_cents"] == pytest.approx(2_275)
    assert methods.loc["foam", "yearly_gain_cents"] == pytest.approx(-65 * 1_200)
    assert methods.loc["paper", "yearly_gain_cents"] == 0


def test_break_even_is_the_rate_at_which_both_cost_the_same() -> None:
    methods = decision(case("paper", 30, 1_000), foam(5, 1_000)).methods.set_index("packing_method")
    # The current method breaks even at its own rate; foam has 2210 - 2200 = 10 cents left for damage.
    assert methods.loc["paper", "break_even_rate"] == pytest.approx(0.03)
    assert methods.loc["foam", "break_even_rate"] == pytest.approx(10 / 15_000)


def test_a_method_that_cannot_pay_even_without_damage_breaks_even_at_nothing() -> None:
    methods = decision(case("paper", 1, 1_000), foam(5, 1_000)).methods.set_index("packing_method")
    assert methods.loc["foam", "break_even_rate"] == 0


def test_a_plain_case_is_recommended() -> None:
    found = decision(case("paper", 100, 1_000), foam(5, 1_000))
    assert (found.best, found.is_recommended, found.wait_parcels) == ("foam", True, 0)
    assert found.chance > 0.99
    assert found.methods["yearly_gain_low"].loc[0] > 0


def test_staying_is_never_called_a_recommendation() -> None:
    found = decision(case("paper", 5, 1_000), foam(5, 1_000))
    assert (found.best, found.is_recommended) == ("paper", False)


def test_an_open_case_asks_for_more_parcels_and_the_number_settles_it() -> None:
    found = decision(case("paper", 6, 120), foam(1, 80))
    assert not found.is_recommended
    assert found.wait_parcels is not None
    assert found.wait_parcels > 0
    more = found.wait_parcels
    settled = decision(
        case("paper", 6 + more * 6 / 120, 120.0 + more), foam(1 + more / 80, 80.0 + more), draws=20_000, seed=3
    )
    assert settled.chance == pytest.approx(0.9, abs=0.03)


def test_a_toss_up_never_settles() -> None:
    found = decision(case("paper", 20, 1_000), case("wrap", 20, 1_000))
    assert found.chance == pytest.approx(0.5, abs=0.05)
    assert found.wait_parcels is None
    assert found.trial_parcels is None


def test_perfect_information_is_worth_something_only_in_doubt() -> None:
    doubtful, plain = decision(case("paper", 6, 120), foam(1, 80)), decision(case("paper", 300, 1_000), foam(5, 1_000))
    assert doubtful.perfect_information_cents > 1_000
    assert plain.perfect_information_cents == pytest.approx(0, abs=1)


def test_one_method_only() -> None:
    found = decision(case("paper", 3, 100))
    assert (found.best, found.chance, found.is_recommended, found.wait_parcels) == ("paper", 1.0, False, 0)


def test_shared_parcels_keep_the_noise_of_postage_out_of_the_difference() -> None:
    """Both methods ship the same parcels: however much postage varies, two cents are two cents."""
    wild = np.array([500.0, 9_000.0, 1_000.0, 7_000.0])
    calm = case("paper", 20, 1e9, carriage_cents=wild)
    dearer = case("wrap", 20, 1e9, carriage_cents=wild + 2)
    assert decision(calm, dearer).chance == 1.0


def test_the_chance_is_the_normal_law_where_the_difference_is_normal() -> None:
    """Large counts: chance = Phi(mean / sd) of the difference in expected damage."""
    found = decision(case("paper", 400, 10_000), case("wrap", 380, 10_000), draws=40_000)
    sd = 15_000 * np.sqrt((0.04 * 0.96 + 0.038 * 0.962) / 10_000)
    from_table = 0.7650  # Phi(0.7225), standard normal table
    assert 15_000 * 0.002 / sd == pytest.approx(0.7331, abs=0.02)
    assert found.chance == pytest.approx(from_table, abs=0.01)


@pytest.mark.published
def test_parcels_for_stated_power() -> None:
    """R stats, help page power.prop.test: p1 = .50, p2 = .75, power = .90 needs n = 76.7 per group, so 77 parcels."""
    assert parcels_per_arm(0.75, 0.50, power=0.9) == 77


def test_a_halved_rate_takes_many_parcels() -> None:
    """Normal approximation by hand: p 0.03 and 0.06, power 0.80: 748.4 per group."""
    mean, gap = 0.045, 0.03
    hand = (1.959964 * np.sqrt(2 * mean * 0.955) + 0.841621 * np.sqrt(0.06 * 0.94 + 0.03 * 0.97)) ** 2 / gap**2
    assert parcels_per_arm(0.06, 0.03) == int(np.ceil(hand)) == 749


def test_alike_rates_cannot_be_told_apart() -> None:
    assert parcels_per_arm(0.02, 0.02) is None


def test_mistakes_are_named() -> None:
    with pytest.raises(NotFoundError, match="felt"):
        decision(case("paper", 3, 100), current="felt")
    with pytest.raises(SettingsError, match="same parcels"):
        decision(case("paper", 3, 100), case("wrap", 3, 100, carriage_cents=POSTAGE[:5]))
    with pytest.raises(SettingsError, match="chance"):
        decision(case("paper", 3, 100), chance_needed=1.0)


def test_the_same_seed_gives_the_same_answer() -> None:
    one, other = (decision(case("paper", 6, 120), foam(1, 80), seed=5) for _ in range(2))
    assert one.methods.equals(other.methods)


@settings(derandomize=True, deadline=None, max_examples=40)
@given(
    st.lists(
        st.tuples(st.floats(0.01, 50), st.floats(0.01, 3_000), st.floats(-500, 500), st.floats(0, 30_000)),
        min_size=1,
        max_size=4,
    )
)
def test_chances_sum_to_one_and_nothing_is_missing(rows: list[tuple[float, float, float, float]]) -> None:
    cases = [
        case(str(number), alpha, alpha + beta, carriage_cents=POSTAGE + extra, severity_cents=np.array([loss]))
        for number, (alpha, beta, extra, loss) in enumerate(rows)
    ]
    found = decision(*cases, current="0", draws=300)
    methods = found.methods
    assert methods["chance_cheapest"].sum() == pytest.approx(1)
    assert not methods.isna().any(axis=None)
    assert found.perfect_information_cents >= -1e-6
    totals: FloatArray = methods["total_cents"].to_numpy()
    assert np.all(np.diff(totals) >= 0)
    assert np.all(methods["total_low"] <= methods["total_high"])


def test_the_best_of_several_is_not_counted_on_for_all_that_it_seems_to_save() -> None:
    """By hand: 300 with an error of 100 keeps 9 parts in 10; 100 with an error of 100 half; a sure gain all."""
    assert counted_on(300.0, 100.0) == pytest.approx(270.0)
    assert counted_on(100.0, 100.0) == pytest.approx(50.0)
    assert (counted_on(100.0, 0.0), counted_on(0.0, 100.0), counted_on(0.0, 0.0)) == (100.0, 0.0, 0.0)


def test_what_may_be_counted_on_is_nearer_to_what_the_pick_of_many_brings() -> None:
    """Eight methods that truly save from nothing to 100, each seen with an error of 100: the one that looks best saves
    less than it seems, and its counted gain is nearer to that, over 2,000 such shops."""
    rng = np.random.default_rng(4)
    true = rng.uniform(0.0, 100.0, (2_000, 8))
    seen = true + rng.normal(0.0, 100.0, true.shape)
    best = np.arange(2_000), seen.argmax(axis=1)
    counted = np.array([counted_on(gain, 100.0) for gain in seen[best]])
    brought, stated, shown = true[best].mean(), seen[best].mean(), counted.mean()
    assert brought < shown < stated
    assert shown - brought < 0.75 * (stated - brought)


def test_a_decision_counts_on_less_than_its_totals_differ() -> None:
    doubtful, plain = (
        decision(case("paper", 6, 120), foam(1, 80)),
        decision(case("paper", 300, 1_000), foam(5, 1_000)),
    )
    shares = [each.gain_cents / each.methods["yearly_gain_cents"].iloc[0] for each in (doubtful, plain)]
    assert shares[0] < 0.8 and 0.98 < shares[1] < 1.0
