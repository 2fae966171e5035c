"""A published list of Spain: steps of weight, tax by zone, shares of the base price for one or two measures beyond."""

from __future__ import annotations

import pytest

from tests.pipelines.build.test_rating_published_lists import KILOGRAM, SERVICE, Case, band, charged, listed

STEPS = (1, 5, 10, 15, 20, 25, 30)
RULES = (
    SERVICE.format(name="paq", step="1.0", limits="longest_side = 170.0, sum_of_sides = 270.0, scale_weight = 30.0")
    .replace('divisor = "none"', "divisor = 6000.0")
    .replace('side_rounding = "up"', 'side_rounding = "none"')
    + """
[[surcharges]]
surcharge = "one measure beyond"
charge_code = "EXTRA 1"
when = [[{ measure = "longest_side", more_than = 120.0 }], [{ measure = "sum_of_sides", more_than = 210.0 }]]
percent = 35.0
group = "extra"
rank = 1

[[surcharges]]
surcharge = "two measures beyond"
charge_code = "EXTRA 2"
when = [
  [{ measure = "longest_side", more_than = 120.0 }, { measure = "sum_of_sides", more_than = 210.0 }],
  [{ measure = "second_side", more_than = 120.0 }],
]
percent = 70.0
group = "extra"
rank = 2

[[further]]
zones = ["1"]
step = 1.0
amount_cents = 103
up_to = 60.0

[[further]]
zones = ["5"]
step = 1.0
amount_cents = 390
up_to = 60.0

[[tax]]
from = 2000-01-01
percent = 7.0
zones = ["1"]

[[tax]]
from = 2000-01-01
percent = 0.0
zones = ["5"]
"""
)


@pytest.mark.published
def test_parcels_from_the_canary_islands() -> None:
    # Correos, "Tarifas 2023. Canarias", page 10: Paq Premium and Paq Estandar, zone 1 (within the province, 7 % IGIC; the
    # page prints prices with tax too: 11.28, 14.10, 22.95, 27.77 euros) and zone 5 (mainland, no tax); volume in cm3
    # over 6000; 35 % more where a side or the sum of the three is beyond the standard, 70 % where two of these are.
    # Standard and greatest measures: sum 210 and 270 cm, longest side 120 and 170 cm, 30 kg, 60 by volume (the carrier's
    # table of Paq, 2018).
    tariff = listed(
        "Correos, Tarifas 2023",
        RULES,
        {
            ("paq", "1", ""): band(STEPS, 1054, 1318, 1769, 2145, 2595, 3008, 3413),
            ("paq", "5", ""): band(STEPS, 1985, 2865, 3585, 4580, 6230, 8105, 9982),
        },
        "EUR",
    )
    cases: list[Case] = [
        ("paq", "1", (30, 20, 10), 0.8, 1128),
        ("paq", "1", (40, 30, 20), 2, 1410),
        ("paq", "1", (60, 40, 30), 5, 2295),
        ("paq", "1", (60, 40, 30), 16, 2777),
        ("paq", "5", (40, 30, 20), 2, 2865),
        # 41.7 kg by volume: 99.82 and 12 further kilograms at 3.90.
        ("paq", "5", (100, 50, 50), 20, 14662),
        # 8.7 kg: 17.69 and 35 % of it, 6.19; 7 % of 23.88 are 1.67.
        ("paq", "1", (130, 20, 20), 5, 2555),
        # 43.3 kg: 34.13 and 14 times 1.03 are 48.55; 70 % are 33.99 (33.985); 7 % of 82.54 are 5.78.
        ("paq", "1", (130, 50, 40), 12, 8832),
        # 55 kg: 99.82 and 25 times 3.90 are 197.32; the sum alone is beyond 210 cm, 35 % are 69.06.
        ("paq", "5", (100, 60, 55), 12, 26638),
        # 26.0 kg: 34.13; two sides beyond 120 cm, 70 % are 23.89; 7 % of 58.02 are 4.06.
        ("paq", "1", (125, 125, 10), 12, 6208),
        ("paq", "1", (175, 20, 20), 5, "beyond limit: longest_side"),
        ("paq", "1", (30, 20, 10), 31, "beyond limit: scale_weight"),
    ]
    assert charged(tariff, cases, KILOGRAM) == [amount for *_, amount in cases]
