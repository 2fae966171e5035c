"""A list with options, events, fuel on named charges and tax, and the codes that its carrier bills by."""

from __future__ import annotations

from tests.models.tariffs.price_lists import rules_text
from tests.pipelines.build.trial_rules import LIMITS, RULES

EXTRAS = """
[[tax]]
from = 2025-01-01
percent = 19.0

[[fuel]]
from = 2025-08-04
percent = 11.0
on = ["base", "surcharge:oversize", "surcharge:home", "surcharge:peak"]

[[options]]
option = "signature"
charge_code = "SIGN"
amount_cents = 450

[[options]]
option = "collect on delivery"
charge_code = "COD"
percent = 2.0
of = "declared"
at_least_cents = 500
at_most_cents = 1500

[[options]]
option = "return label"
charge_code = "RETURN"

[[events]]
event = "address correction"
charge_code = "ADDRESS"
amount_cents = 1800

[[events]]
event = "re-measuring fee"
charge_code = "MEASURE"
amount_cents = 275
"""
TEXT = rules_text("trial", RULES + EXTRAS, limits=LIMITS, effective_from="2025-01-01", first="tax_reclaimable = true\n")
# How the carrier bills an event: beside the charges, or later as a correction.
CODES = [
    {"carrier": "trial", "charge_code": "BASE", "charge_kind": "base"},
    {"carrier": "trial", "charge_code": "FUEL", "charge_kind": "fuel"},
    {"carrier": "trial", "charge_code": "TAX", "charge_kind": "tax"},
    {"carrier": "trial", "charge_code": "SIGN", "charge_kind": "surcharge", "surcharge": "signed for"},
    {"carrier": "trial", "charge_code": "ADDRESS", "charge_kind": "adjustment"},
    *(
        {"carrier": "trial", "charge_code": code, "charge_kind": "surcharge"}
        for code in ("LONG", "OVER", "HOME", "FAR", "VALUE", "PEAK", "DENSE", "COD", "RETURN", "PARK")
    ),
]
