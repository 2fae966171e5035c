"""What each way out costs: ten parcels reckoned by hand, and the interval against a reference library."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from statsmodels.stats.proportion import proportion_confint

from models.claims.refunds import Money, by_evidence, recovery, ways
from models.wilson import wilson

# price, cost, shipping, fee, packing, carriage -> refund in full, half refund, replacement, return; fee that comes back
BY_HAND = [
    # a tripod: 189.00 sold, 92.00 cost, 24.50 shipping, 18.90 fee, 9.90 packing, 23.00 carriage
    (Money(18_900, 9_200, 2_450, 1_890, 990, 2_300), (21_350, 9_450, 12_490, 14_450), 1_890),
    # free shipping
    (Money(18_900, 9_200, 0, 1_890, 990, 2_300), (18_900, 9_450, 12_490, 12_000), 1_890),
    # no fee, as on the shop's own site
    (Money(18_900, 9_200, 2_450, 0, 990, 2_300), (21_350, 9_450, 12_490, 14_450), 0),
    # an odd price: half of 1.01 is 0.505, which is paid as 0.51
    (Money(101, 50, 0, 11, 0, 0), (101, 51, 50, 51), 11),
    # what the goods cost is not known
    (Money(18_900, None, 2_450, 1_890, 990, 2_300), (21_350, 9_450, None, None), 1_890),
    # no sale on record
    (Money(None, 9_200, 0, 0, 990, 2_300), (None, None, 12_490, None), 0),
    # neither tariff nor bill
    (Money(18_900, 9_200, 2_450, 1_890, 990, None), (21_350, 9_450, None, None), 1_890),
    # packing not known
    (Money(18_900, 9_200, 2_450, 1_890, None, 2_300), (21_350, 9_450, None, 14_450), 1_890),
    # carriage dearer than the goods
    (Money(1_500, 700, 400, 150, 200, 2_600), (1_900, 750, 3_500, 3_800), 150),
    # goods that were sold below cost
    (Money(5_000, 6_000, 0, 500, 300, 1_000), (5_000, 2_500, 7_300, 0), 500),
]


@pytest.mark.parametrize(("money", "costs", "fee_back"), BY_HAND)
def test_ten_parcels_reckoned_by_hand(money: Money, costs: tuple[int | None, ...], fee_back: int) -> None:
    found = ways(money)
    assert tuple(way.cost for way in found) == costs
    assert found[0].fee_back == fee_back
    assert all(bool(way.lacking) == (way.cost is None) for way in found)


def test_another_part_of_the_price_may_be_given_back() -> None:
    (part,) = [way for way in ways(Money(10_000, None, 0, 1_000, None, None), Fraction(3, 10)) if "30%" in way.name]
    assert (part.cost, part.fee_back) == (3_000, 300)


@pytest.mark.parametrize(("hits", "trials"), [(0, 1), (1, 1), (0, 10), (7, 10), (81, 263), (15, 148), (56, 70)])
def test_the_interval_is_the_reference_librarys(hits: int, trials: int) -> None:
    """statsmodels 0.15, proportion_confint(method="wilson")."""
    assert wilson(hits, trials) == pytest.approx(proportion_confint(hits, trials, method="wilson"), abs=1e-12)


@pytest.mark.published
def test_the_interval_of_a_published_example() -> None:
    """81 of 263: .2553 to .3662, as quoted from R. G. Newcombe, "Two-sided confidence intervals for the single
    proportion", Statistics in Medicine 17 (1998), 857-872, table I, method 3 (score, without continuity correction)."""
    assert [round(limit, 4) for limit in wilson(81, 263)] == [0.2553, 0.3662]


def decided(*paid: int, **more: Any) -> list[dict[str, Any]]:
    """Claims of 100.00 each that were decided."""
    return [
        {"parcel_id": f"P{at}", "packing_evidence": None, "claimed_cents": 10_000, "paid_cents": cents, **more}
        for at, cents in enumerate(paid)
    ]


def test_few_claims_are_reported_as_few_and_none_promise_nothing() -> None:
    none = recovery([])
    assert (none.share, none.low, none.high, none.is_few) == (None, 0.0, 1.0, True)
    some = recovery(decided(*[7_500] * 6, *[0] * 3))
    assert (some.decided, some.paid, some.share, some.is_few) == (9, 6, 0.5, True)
    assert not recovery(decided(*[7_500] * 6, *[0] * 4)).is_few


def test_evidence_on_record_parts_what_a_carrier_paid() -> None:
    """Two of three with a picture were paid, none of two without; a record that says what pictures show had some."""
    shows = {"P0": frozenset({"label", "closed"}), "P1": frozenset({"label"})}
    rows = [*decided(10_000, 0, 0, 0), *decided(5_000, packing_evidence="corner bare")[:1]]
    rows[4]["parcel_id"] = "P9"
    found = {name: (each.paid, each.decided) for name, each in by_evidence(rows, shows)}
    assert found["with pictures on record"] == (2, 3)
    assert found["without pictures on record"] == (0, 2)
    assert (found["with a picture of label"], found["with a picture of closed"]) == ((1, 2), (1, 1))
    assert found["with a picture of tape"] == (0, 0)
