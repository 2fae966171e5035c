"""Sides, volume and weight against published rules, through the SQL."""

from __future__ import annotations

import math
from collections.abc import Iterator

import pytest

from models.tariffs.rules import Tariff
from tests.pipelines.build.published_rules import (
    ALL,
    METRIC,
    METRIC_EXACT,
    POSTAL_139,
    POSTAL_166,
    POSTAL_194,
    PRIVATE_NEAREST,
    PRIVATE_UP,
    UNROUNDED,
    Rater,
)
from tests.pipelines.parcels import holding


@pytest.fixture(scope="module")
def shop() -> Iterator[Rater]:
    """One warehouse for the whole file: loading the rules takes longer than rating a parcel."""
    with holding(ALL) as connection:
        yield Rater(connection)


@pytest.mark.published
@pytest.mark.parametrize(
    ("chosen", "given", "rounded", "weight_lb"),
    [
        # DMM Advisory, 30 October 2006 (pe.usps.gov): round off to the nearest inch, 20-1/4 to 20, 20-3/4 to 21;
        # volume over 194. The weights here and below follow from the stated rule: 8,400 / 194 = 43.30.
        (POSTAL_194, (20.75, 20.25, 20.0), (21, 20, 20), 44),
        # The same under divisor 166, effective 23 June 2019 (notices of the rate change of that day).
        (POSTAL_166, (20.75, 20.25, 20.0), (21, 20, 20), 51),
        # The same under 91 FR 27837 (15 May 2026): from 12 July 2026 divisor 139, every fraction up.
        (POSTAL_139, (20.75, 20.25, 20.0), (21, 21, 20), 64),
        # 15 x 15 x 22 = 4,950 cu in, the example printed with the notices of 23 June 2019.
        (POSTAL_166, (15.0, 15.0, 22.0), (22, 15, 15), 30),
        # 12 x 12 x 14 = 2,016 over 194 is 10.39: an example printed under the rule of 2008 (DMM 423.1.3).
        (POSTAL_194, (12.0, 12.0, 14.0), (14, 12, 12), 11),
        # A freight consultant's example for the change of 18 August 2025: 12.2 x 10.3 x 6.4 bill 6 lb before it
        # (12 x 10 x 6 / 139 = 5.18) and 8 lb after it (13 x 11 x 7 / 139 = 7.20).
        (PRIVATE_NEAREST, (12.2, 10.3, 6.4), (12, 10, 6), 6),
        (PRIVATE_UP, (12.2, 10.3, 6.4), (13, 11, 7), 8),
        # A packaging guide's example for the same change: 11.1 x 8.1 x 4.1 become 12 x 9 x 5 = 540, 3.88, 4 lb.
        (PRIVATE_UP, (11.1, 8.1, 4.1), (12, 9, 5), 4),
        # A private carrier's public packaging guide: 1.00 to 1.49 round to 1, 1.50 to 1.99 to 2; half goes up.
        (PRIVATE_NEAREST, (10.5, 10.49, 1.5), (11, 10, 2), 2),
    ],
)
def test_dimensional_weight(
    shop: Rater, chosen: Tariff, given: tuple[float, float, float], rounded: tuple[int, int, int], weight_lb: int
) -> None:
    found = shop.one(chosen, *given)
    assert found[["longest_side", "second_side", "shortest_side"]].tolist() == list(rounded)
    assert found["rated_weight_lb"] == weight_lb


@pytest.mark.published
@pytest.mark.parametrize(
    ("given", "weight_lb"),
    [
        # DMM Advisory, 30 October 2006: parcels of 1,728 cu in or less have no dimensional weight.
        ((12.0, 12.0, 12.0), 2),
        ((48.0, 6.0, 6.0), 2),
        # 13 x 12 x 12 = 1,872 over 194 is 9.65.
        ((13.0, 12.0, 12.0), 10),
    ],
)
def test_one_cubic_foot_is_not_more_than_one_cubic_foot(
    shop: Rater, given: tuple[float, float, float], weight_lb: int
) -> None:
    assert shop.one(POSTAL_194, *given, scale_weight_lb=1.2)["rated_weight_lb"] == weight_lb


@pytest.mark.published
@pytest.mark.parametrize(
    ("given", "volume"),
    [
        # DMM Advisory, 30 October 2006: volume at the extremes times 0.785 for parcels that are not rectangular.
        # Worked values as printed, cut to one decimal: 25.5 x 6 x 5.25 is 630.5 and a tube of 12 x 4 x 4 is 150.7.
        ((25.5, 6.0, 5.25), 630.5),
        ((12.0, 4.0, 4.0), 150.7),
    ],
)
def test_a_tube_has_less_volume(shop: Rater, given: tuple[float, float, float], volume: float) -> None:
    assert math.floor(shop.one(UNROUNDED, *given, is_rectangular=False)["volume"] * 10) / 10 == volume


@pytest.mark.published
def test_the_factor_comes_before_the_cubic_foot(shop: Rater) -> None:
    # DMM 123.1.4.2: multiply by 0.785 first, then compare with 1,728. 13 x 13 x 13 = 2,197, times 0.785 is 1,724.6.
    assert shop.one(POSTAL_194, 13, 13, 13, is_rectangular=False)["rated_weight_lb"] == 1
    assert shop.one(POSTAL_194, 13, 13, 13)["rated_weight_lb"] == 12


@pytest.mark.published
@pytest.mark.parametrize(("scale_lb", "weight_lb"), [(1.2, 2), (2.0, 2), (2.001, 3)])
def test_a_fraction_of_a_pound_is_a_pound(shop: Rater, scale_lb: float, weight_lb: int) -> None:
    # DMM 423.1.1 (2008): any fraction of a pound is the next whole pound; 1.2 lb pays 2 lb.
    assert shop.one(PRIVATE_UP, 4, 4, 4, scale_weight_lb=scale_lb)["rated_weight_lb"] == weight_lb


@pytest.mark.published
def test_length_plus_girth(shop: Rater) -> None:
    # A private carrier's public packaging guide, weight and size: length + 2 x width + 2 x height, each side rounded
    # first. 48 x 12 x 10 have 92 in; 47.6 x 11.7 x 9.8 round up to the same.
    assert shop.one(PRIVATE_UP, 48, 12, 10)["length_plus_girth"] == 92
    assert shop.one(PRIVATE_UP, 47.6, 11.7, 9.8)["length_plus_girth"] == 92


@pytest.mark.published
def test_the_legal_inch_and_pound(shop: Rater) -> None:
    # 16 CFR 500.19: 1 in is 2.54 cm exactly. 48 in are 121.92 cm, which a list in centimetres rounds up to 122; the
    # same parcel measured as 121.92 cm must stay 48 in under a list in inches.
    assert shop.one(METRIC, 48, 10, 10)["longest_side"] == 122
    assert shop.one(METRIC_EXACT, 48, 10, 10)["longest_side"] == 121.92
    assert shop.one(PRIVATE_UP, 121.92 / 2.54, 10, 10)[["longest_side", "surcharge_cents"]].tolist() == [48, 0]
    # 1 lb is 0.45359237 kg: 10 lb are 4.536 kg (16 CFR 500.19 prints 453.592 g for the pound).
    found = shop.one(METRIC, 4, 4, 4, scale_weight_lb=10.0)
    assert found["rated_weight"] == 5.0
    assert found["rated_weight_lb"] == pytest.approx(5 / 0.453592, abs=0.0005)


@pytest.mark.published
def test_139_and_5000_are_not_the_same_rule(shop: Rater) -> None:
    # A private carrier's public packaging guide gives both: 139 cu in for a pound, 5,000 cu cm for a kilogram.
    # 20 x 20 x 20 in: 8,000 / 139 = 57.55 lb; 50.8^3 / 5,000 = 26.219 kg = 57.804 lb.
    inches = shop.one(PRIVATE_UP, 20, 20, 20)
    centimetres = shop.one(METRIC_EXACT, 20, 20, 20)
    assert inches["dim_weight_lb"] == pytest.approx(57.554, abs=0.0005)
    assert centimetres["dim_weight"] == pytest.approx(26.219, abs=0.0005)
    assert centimetres["dim_weight_lb"] == pytest.approx(57.804, abs=0.002)


@pytest.mark.common_practice
@pytest.mark.parametrize("scale_lb", [0.5, 6.0, 13.9])
def test_one_inch_shorter_rates_a_pound_less(shop: Rater, scale_lb: float) -> None:
    # Common practice, no source: at divisor 166 a parcel of 7 x 7 x 48 rates 15 lb and one of 7 x 7 x 47 14 lb,
    # whatever they weigh below that.
    assert shop.one(POSTAL_166, 48, 7, 7, scale_weight_lb=scale_lb)["rated_weight_lb"] == 15
    assert shop.one(POSTAL_166, 47, 7, 7, scale_weight_lb=scale_lb)["rated_weight_lb"] == 14
