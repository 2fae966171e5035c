"""A tariff of one service that uses every kind of rule."""

RULES = """
[[surcharges]]
surcharge = "long side"
charge_code = "LONG"
when = [[{ measure = "longest_side", more_than = 48.0 }]]
amount_cents = 1000
group = "handling"
rank = 1

[[surcharges]]
surcharge = "oversize"
charge_code = "OVER"
when = [[{ measure = "longest_side", more_than = 60.0 }], [{ measure = "scale_weight", at_least = 50.0 }]]
amount_cents = 5000
group = "handling"
rank = 2
minimum_weight = 40.0

[[surcharges]]
surcharge = "home"
charge_code = "HOME"
residential = true
amount_cents = 300

[[surcharges]]
surcharge = "far"
charge_code = "FAR"
area = "far"
amount_cents = 700

[[surcharges]]
surcharge = "value"
charge_code = "VALUE"
per_declared = { above_cents = 10000, step_cents = 5000, amount_cents = 120 }
at_most_cents = 500

[[surcharges]]
surcharge = "peak"
charge_code = "PEAK"
from = 2025-11-01
to = 2025-12-31
percent = 5.0
of = ["base", "surcharge"]

[[surcharges]]
surcharge = "dense"
charge_code = "DENSE"
when = [[{ measure = "rated_weight", more_than = 20.0 }, { measure = "volume", more_than = 1728.0 }]]
amount_cents = 90

[[discounts]]
percent = 12.5
on = ["base"]
minimum_charge_cents = 90

[[discounts]]
percent = 10.0
on = ["surcharge:long side"]
from = 2025-07-01

[areas]
far = ["597"]

[[fuel]]
from = 2025-01-06
percent = 10.0
on = ["base", "surcharge"]

[[fuel]]
from = 2025-12-01
percent = 12.5
on = ["base"]
"""
LIMITS = "limits = { longest_side = 108.0, scale_weight = 150.0 }"
