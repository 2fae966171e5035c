"""Columns of the billed check: differences, disputes, learned prices, learned sides."""

from __future__ import annotations

import pandera.pandas as pa

from models.fields import (
    cents,
    choice,
    count,
    date,
    flag,
    fraction,
    inches,
    number,
    pounds,
    signed_cents,
    signed_fraction,
    text,
)

DISPUTE_STATES = ("open", "sent", "won", "lost")
CHANGES = ("longest side", "second side", "shortest side", "weight")
# What is looked for, in the order in which a difference is told apart.
DIFFERENCES = {
    "duplicate line": "the same line of the parcel stands on an invoice twice",
    "wrong service": "billed for another service than it was sent by",
    "wrong zone": "billed for another zone than the label's",
    "sides re-measured": "billed by other sides than the bench measured",
    "weight re-measured": "billed by another weight than the scale showed",
    "surcharge not justified": "no condition of the tariff holds for it",
    "surcharge missing": "the tariff takes it, the invoice does not",
    "fuel base": "fuel was taken on other charges than the tariff says",
    "adjustment without cause": "a later correction that states neither sides nor weight",
    "fixed fee": "a later charge that always comes to the same amount: a fee that the tariff does not know",
    "unmapped charge": "a charge code that nothing gives a kind",
    "rounding": "a cent",
    "unknown": "another amount than the tariff's",
    "not rated": "the record or the tariff lacks something, so nothing could be checked",
}

BILLING_WORDS: dict[str, pa.Column] = {
    "difference_class": choice("What was billed otherwise", "wrong zone", tuple(DIFFERENCES)),
    "charge_name": text("base, fuel, the surcharge's name, or what is lacking", "long side"),
    "corrected_invoice_number": text("Invoice with the line that this one corrects or repeats", "NL-20261001"),
    "corrected_line_number": count("That line", 17, least=1),
    "expected_cents": signed_cents("What the tariff makes of the shop's own facts", 1480),
    "difference_cents": signed_cents("Billed less expected, as far as this cause explains it", 1850),
    "over_cents": signed_cents("What the cause added to the bill, fuel included", 2146),
    "credited_cents": cents("Taken back by the carrier in later lines", 0),
    "recovered_cents": cents(
        "What the carrier agreed to give back; counted in the margin when a credit is billed", 2146
    ),
    "outstanding_cents": cents("Neither credited nor recovered", 2146),
    "dispute_id": text("Name of the dispute", "NL40017733/wrong-zone"),
    "dispute_state": choice("How far the dispute has come", "open", DISPUTE_STATES),
    "dispute_count": count("Causes that raised a bill", 7),
    "disputable_count": count("Of these, those that can still be disputed", 3),
    "disputable_cents": cents("What these are about", 4031),
    "own_evidence": text("What the shop's records say", "zone 3"),
    "billed_evidence": text("What the invoice says", "billed as zone 5"),
    "last_dispute_on": date("Last day to dispute it by the carrier's own window", "2026-12-11"),
    "is_disputable": flag("Whether it is open and its last day has not passed", True),
    "has_least_weight": flag("Billed by the least weight of a surcharge that no condition justifies", False),
    "own_cents": signed_cents("By the shop's own facts", 1480),
    "lane_cents": signed_cents("Also by the billed service and zone", 1480),
    "sides_cents": signed_cents("Also by the billed sides", 1620),
    "weight_cents": signed_cents("Also by the billed weight", 1620),
    "left_cents": signed_cents("Billed beyond what these explain", 0),
    "due_cents": signed_cents("What the tariff would add for what the correction states", 285),
    "first_invoice_number": text("Invoice of the line that is repeated", "NL-20261001"),
    "first_line_number": count("That line", 17, least=1),
    # Near misses
    "reach_in": inches("Inches off one side within which a charge counts as avoidable", 1.0, most=12),
    "reach_lb": pounds("Pounds off the weight within which it does", 1.0, most=12),
    "class_key": count("Parcels that the tariff takes for one, but for fuel", 1, least=1),
    "direction": count("-1 for less, 1 for more", -1, least=-1, most=1),
    "eighth": count("Eighths of the reach", 3, least=1, most=8),
    "near_miss": choice("Whether it was paid, or kept off by little", "paid", ("paid", "just under")),
    "change": choice("What would be a little less, or more", "longest side", CHANGES),
    "change_in": inches("Least change of that side that does it", 0.75),
    "change_lb": pounds("Least change of the weight that does it", 0.5),
    "spared_cents": signed_cents("What the change would spare by the tariff, fuel included", 2320),
    "is_counted": flag("Whether its saving is added up: once for each parcel", True),
    "can_cut": flag("Whether cutting the carton lower does it and the goods still fit", True),
    "cut_count": count("Parcels whose carton can be cut so far", 743),
    "other_carton_code": text("Smallest carton of the catalogue that holds the goods and keeps the charge off", "C-46"),
    # Surcharges by group
    "grouped_by": choice("What the parcels are grouped by", "item type", ("item type", "carton", "service")),
    "group_name": text("The item type, carton or service", "tripod"),
    "avoidable_count": count("Parcels whose surcharge an inch or a pound less would have spared", 498),
    "avoidable_cents": signed_cents("Their part of the amount", 768_000),
    "avoidable_share": fraction("Avoidable part of the amount", 0.91),
    "rate_low": fraction("Lower limit of the share, 95 percent", 0.91),
    "rate_high": fraction("Upper limit of the share, 95 percent", 0.96),
    # Learned prices
    "learned_first_on": date("First day of shipping whose bills the prices were learned from", "2025-01-01"),
    "learned_last_on": date("Last day of shipping whose bills they were learned from", "2025-12-31"),
    "is_in_use": flag(
        "Whether a tariff of the shop takes its prices from them; else the days have no price list", True
    ),
    "bill_count": count("Bills they were learned from", 812),
    "seen_from_lb": pounds("Lightest weight billed; below it there is no price", 1.0),
    "seen_to_lb": pounds("Heaviest weight billed; above it there is no price", 62.0),
    "left_out_error_cents": cents("Mean error, either way, on parcels left out in turn", 38),
    "left_out_error_share": signed_fraction("Mean error as a share of the bill, on parcels left out in turn", 0.021),
    "left_out_unpriced_count": count("Parcels left out in turn that lay outside the weights of the rest", 2),
    # Learned sides
    "side": choice("Which outside side", "longest side", CHANGES[:3]),
    "named_in": inches("By the carton's name, as the carrier rounds it", 48.0),
    "billed_in": inches("That side as billed", 49.0),
    "is_fixed_fee": flag("The code mostly comes to this one amount: a fee, not a correction", False),
    "bulge_in": number("Billed over that name; median where several parcels are meant", 1.0),
    "bulge_low_in": number("Lower limit of the median, 95 percent", 1.0),
    "bulge_high_in": number("Upper limit of the median, 95 percent", 1.0),
    "usual_in": inches("What it usually measures when closed: name and bulge", 49.0),
    "learned_length_in": inches("Longest side, median of those billed", 49.0),
    "learned_width_in": inches("Second side, median of those billed", 8.9),
    "learned_height_in": inches("Shortest side, median of those billed", 8.9),
}
