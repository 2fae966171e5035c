"""Thresholds and limits of published rules, exactly on the boundary, through the SQL."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date

import pandas as pd
import pytest

from models.tariffs.rules import Tariff
from tests.pipelines.build.published_rules import (
    ALL,
    POSTAL_BALLOON,
    POSTAL_LIMITS,
    PRIVATE_LIMITS,
    PRIVATE_NEAREST,
    PRIVATE_UP,
    Rater,
)
from tests.pipelines.parcels import holding, rated, sides


@pytest.fixture(scope="module")
def shop() -> Iterator[Rater]:
    """One warehouse for the whole file: loading the rules takes longer than rating a parcel."""
    with holding(ALL) as connection:
        yield Rater(connection)


@pytest.mark.published
@pytest.mark.parametrize(
    ("chosen", "stated", "handling"),
    [
        # Private carriers' public tariffs of 2025 and 2026 as quoted by consultants: more than 48 in, second side more
        # than 30, length plus girth more than 105, more than 50 lb, from January 2026 more than 10,368 cu in.
        (PRIVATE_UP, sides(48, 8, 8), 0),
        (PRIVATE_UP, sides(48.1, 8, 8), 1000),
        (PRIVATE_NEAREST, sides(48.1, 8, 8), 0),
        (PRIVATE_NEAREST, sides(48.5, 8, 8), 1000),
        (PRIVATE_UP, sides(30, 30, 7), 0),
        (PRIVATE_UP, sides(31, 30.1, 4), 1000),
        (PRIVATE_UP, sides(45, 20, 10), 0),
        (PRIVATE_UP, sides(46, 20, 10), 1000),
        (PRIVATE_UP, sides(36, 18, 16), 0),
        (PRIVATE_UP, sides(37, 18, 16), 1000),
        (PRIVATE_UP, sides(8, 8, 8) | {"scale_weight_lb": 50.0}, 0),
        (PRIVATE_UP, sides(8, 8, 8) | {"scale_weight_lb": 50.1}, 1000),
    ],
)
def test_a_surcharge_begins_beyond_its_threshold(
    shop: Rater, chosen: Tariff, stated: dict[str, float], handling: int
) -> None:
    assert shop.stated(chosen, stated)["surcharge_cents"] == handling


@pytest.mark.published
@pytest.mark.parametrize(
    ("given", "surcharge", "billed_lb"),
    [
        # A private carrier's public answer to "What is an oversize charge?": longer than 96 in, or length plus girth
        # of more than 130 in; billed at 90 lb at least. Only the larger of two such charges applies (its guide).
        ((96.0, 8.0, 8.0), 1000, 45),
        ((97.0, 8.0, 8.0), 10000, 90),
        ((60.0, 20.0, 15.0), 1000, 130),
        ((61.0, 20.0, 15.0), 10000, 132),
        ((90.0, 11.0, 10.0), 10000, 90),
    ],
)
def test_oversize_bills_at_least_ninety_pounds(
    shop: Rater, given: tuple[float, float, float], surcharge: int, billed_lb: int
) -> None:
    found = shop.one(PRIVATE_UP, *given)
    assert found[["surcharge_cents", "billable_weight_lb"]].tolist() == [surcharge, billed_lb]


@pytest.mark.published
@pytest.mark.parametrize(
    ("given", "billed_lb"),
    [
        # DMM 423.1.2 (2008): more than 84 in of length and girth and less than 20 lb pays the 20-lb price.
        ((60.0, 8.0, 4.0), 10),
        ((60.0, 8.0, 5.0), 20),
        ((50.0, 14.0, 10.0), 37),
    ],
)
def test_a_balloon_parcel_pays_for_twenty_pounds(
    shop: Rater, given: tuple[float, float, float], billed_lb: int
) -> None:
    found = shop.one(POSTAL_BALLOON, *given)
    assert found["billable_weight_lb"] == billed_lb
    assert found["surcharge_cents"] == 0


@pytest.mark.published
@pytest.mark.parametrize(
    ("chosen", "stated", "lacking"),
    [
        # DMM 401.1.3 (22 January 2012): 70 lb and 108 in of length and girth are the most.
        (POSTAL_LIMITS, sides(60, 12, 12), None),
        (POSTAL_LIMITS, sides(61, 12, 12), "beyond limit: length_plus_girth"),
        (POSTAL_LIMITS, sides(12, 12, 12) | {"scale_weight_lb": 70.0}, None),
        (POSTAL_LIMITS, sides(12, 12, 12) | {"scale_weight_lb": 70.1}, "beyond limit: scale_weight"),
        # A private carrier's public packaging guide: 150 lb, 108 in of length, 165 in of length and girth.
        (PRIVATE_LIMITS, sides(108, 8, 8), None),
        (PRIVATE_LIMITS, sides(108.1, 8, 8), "beyond limit: longest_side"),
        (PRIVATE_LIMITS, sides(65, 25, 25), None),
        (PRIVATE_LIMITS, sides(66, 25, 25), "beyond limit: length_plus_girth"),
        (PRIVATE_LIMITS, sides(8, 8, 8) | {"scale_weight_lb": 150.0}, None),
        (PRIVATE_LIMITS, sides(8, 8, 8) | {"scale_weight_lb": 151.0}, "beyond limit: scale_weight"),
    ],
)
def test_what_is_not_carried(shop: Rater, chosen: Tariff, stated: dict[str, float], lacking: str | None) -> None:
    found = shop.stated(chosen, stated)["lacking"]
    assert (None if pd.isna(found) else found) == lacking


@pytest.mark.published
def test_rules_of_one_carrier_change_by_the_day() -> None:
    # Both large private carriers: nearest inch until 17 August 2025, every fraction up from 18 August (trade press of
    # that month quoting the carriers; their own example 11.1 -> 12).
    before = replace(PRIVATE_NEAREST, carrier="private", effective_to=date(2025, 8, 17))
    after = replace(PRIVATE_UP, carrier="private", effective_from=date(2025, 8, 18))
    days = [date(2025, 8, 17), date(2025, 8, 18)]
    found = rated([before, after], *(sides(11.1, 8, 4) | {"carrier": "private", "shipped_on": day} for day in days))
    assert found["longest_side"].tolist() == [11, 12]


@pytest.mark.common_practice
def test_a_nominal_48_inch_carton_closes_at_49(shop: Rater) -> None:
    # Common practice, no source: two flaps and the bulge add about an inch to a carton sold as 48 in.
    assert shop.one(PRIVATE_UP, 48, 8, 8)["surcharge_cents"] == 0
    assert shop.one(PRIVATE_UP, 49, 8, 8)["surcharge_cents"] == 1000
