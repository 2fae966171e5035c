"""Shape classes of parcels."""

from __future__ import annotations

import pytest

from models.packing.ista import shape_class


# ISTA Procedure 3A (2018), package types, inch form, as summarised in testing laboratories' public pages: small is
# under 800 cu in, at most 14 in long and 10 lb; flat is at most 8 in thick, the next side at least 4 times that, 800
# cu in or more; elongated is 36 in or longer, the other sides at most 20 % of it; both counts as elongated.
@pytest.mark.published
@pytest.mark.parametrize(
    ("sides", "weight_lb", "expected"),
    [
        ((48, 6, 6), 12, "elongated"),
        ((48, 10, 6), 12, "standard"),
        ((36, 7.2, 7.2), 12, "elongated"),
        ((35.9, 7, 7), 12, "standard"),
        ((6, 48, 6), 12, "elongated"),
        ((50, 10, 2), 12, "elongated"),
        ((40, 32, 8), 12, "flat"),
        ((40, 31, 8), 12, "standard"),
        ((40, 33, 8.1), 12, "standard"),
        ((14, 8, 7), 10, "small"),
        ((14, 8, 7), 10.1, "standard"),
        ((14.1, 8, 7), 10, "standard"),
        ((14, 8, 7.2), 10, "standard"),
    ],
)
def test_package_types(sides: tuple[float, float, float], weight_lb: float, expected: str) -> None:
    assert shape_class(sides, weight_lb) == expected
