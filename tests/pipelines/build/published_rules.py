"""Published rules of postal and private carriers, each stated as a tariff.

DMM is the Domestic Mail Manual of the United States Postal Service, by its section and the date of the edition.
"""

from __future__ import annotations

from typing import Any

import pandas as pd

from models.tariffs.rules import Tariff
from pipelines.shop import warehouse
from tests.models.tariffs.price_lists import prices_text, tariff
from tests.pipelines.parcels import rated_rows, requests, sides

PRICES = prices_text(heaviest=300)
HANDLING = """
[[surcharges]]
surcharge = "handling"
charge_code = "HANDLING"
when = [
  [{ measure = "longest_side", more_than = 48.0 }],
  [{ measure = "second_side", more_than = 30.0 }],
  [{ measure = "length_plus_girth", more_than = 105.0 }],
  [{ measure = "scale_weight", more_than = 50.0 }],
  [{ measure = "volume", more_than = 10368.0 }],
]
amount_cents = 1000
group = "handling"
rank = 1

[[surcharges]]
surcharge = "oversize"
charge_code = "OVERSIZE"
when = [
  [{ measure = "longest_side", more_than = 96.0 }],
  [{ measure = "length_plus_girth", more_than = 130.0 }],
]
amount_cents = 10000
group = "handling"
rank = 2
minimum_weight = 90.0
"""
BALLOON = """
[[surcharges]]
surcharge = "balloon"
charge_code = "BALLOON"
when = [[{ measure = "length_plus_girth", more_than = 84.0 }]]
amount_cents = 0
minimum_weight = 20.0
"""


def rule(code: str, rest: str = "", **stated: Any) -> Tariff:
    return tariff(code, rest, prices=PRICES, **stated)


POSTAL_194 = rule("postal-194", side_rounding="nearest", divisor=194.0, above=1728.0, factor=0.785)
POSTAL_166 = rule("postal-166", side_rounding="nearest", divisor=166.0, above=1728.0, factor=0.785)
POSTAL_139 = rule("postal-139", side_rounding="up", divisor=139.0, above=1728.0, factor=0.785)
POSTAL_LIMITS = rule("postal-limits", limits="limits = { length_plus_girth = 108.0, scale_weight = 70.0 }")
POSTAL_BALLOON = rule("postal-balloon", BALLOON, side_rounding="nearest", divisor=194.0, above=1728.0)
UNROUNDED = rule("unrounded", side_rounding="none", factor=0.785)
PRIVATE_NEAREST = rule("private-nearest", HANDLING, side_rounding="nearest")
PRIVATE_UP = rule("private-up", HANDLING, side_rounding="up")
PRIVATE_LIMITS = rule(
    "private-limits", limits="limits = { longest_side = 108.0, length_plus_girth = 165.0, scale_weight = 150.0 }"
)
METRIC = rule("metric", side_rounding="up", length_unit="cm", weight_unit="kg", divisor=5000.0)
METRIC_EXACT = rule("metric-exact", side_rounding="none", length_unit="cm", weight_unit="kg", divisor=5000.0)
ALL = [
    POSTAL_194,
    POSTAL_166,
    POSTAL_139,
    POSTAL_LIMITS,
    POSTAL_BALLOON,
    UNROUNDED,
    PRIVATE_NEAREST,
    PRIVATE_UP,
    PRIVATE_LIMITS,
    METRIC,
    METRIC_EXACT,
]


class Rater:
    """Rates one parcel under one of the rules."""

    def __init__(self, connection: warehouse.Connection) -> None:
        self.connection = connection

    def stated(self, chosen: Tariff, stated: dict[str, Any]) -> pd.Series:
        """The rated row of a parcel given by its differences from a small one."""
        return rated_rows(self.connection, requests(stated | {"carrier": chosen.carrier})).iloc[0]

    def one(self, chosen: Tariff, length: float, width: float, height: float, **stated: Any) -> pd.Series:
        """The same by its three sides."""
        return self.stated(chosen, sides(length, width, height) | stated)
