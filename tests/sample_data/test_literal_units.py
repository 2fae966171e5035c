"""The referee's units: converted, rounded to 0.001 of the tariff's unit, and only then stepped up."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

import pytest

from sample_data.literal_rating import Parcel, Tariff, rate

# 16 CFR 500.19: 1 in is 2.54 cm. 1 lb is 0.45359237 kg (general-purpose unit library), so 1 kg is 2.20462262 lb.
POUNDS_PER_KG = 2.20462262


def rated_weight(weight_unit: str, step: str, scale_weight_lb: float, minimum: str = "0") -> Decimal:
    service = {
        "service": "plain",
        "side_rounding": "none",
        "divisor": 5000,
        "weight_step": Decimal(step),
        "minimum_weight": Decimal(minimum),
    }
    rules = {"carrier": "Corvane", "length_unit": "cm", "weight_unit": weight_unit, "services": [service]}
    tariff = Tariff(rules, {("plain", "2"): [(Decimal(100_000), 100)]})
    return rate(Parcel("plain", "2", dt.date(2025, 7, 1), (1, 1, 1), scale_weight_lb), tariff).rated_weight


@pytest.mark.parametrize(
    ("weight_unit", "step", "scale_weight_lb", "expected"),
    [
        ("kg", "0.5", POUNDS_PER_KG, "1.0"),  # 1.000 kg stays, though the pounds were cut off
        ("kg", "0.5", POUNDS_PER_KG * 1.001, "1.5"),
        ("kg", "0.5", POUNDS_PER_KG * 1.0004, "1.0"),  # 1.0004 kg is rounded to 1.000 first
        ("g", "1", 1, "454"),
        ("oz", "1", 1.5, "24"),
        ("lb", "1", 1.0004, "1"),
        ("lb", "1", 1.001, "2"),
    ],
)
def test_weight_is_converted_rounded_and_stepped(
    weight_unit: str, step: str, scale_weight_lb: float, expected: str
) -> None:
    assert rated_weight(weight_unit, step, scale_weight_lb) == Decimal(expected)


def test_the_least_weight_counts() -> None:
    assert rated_weight("kg", "0.5", 0.1, minimum="2") == 2
