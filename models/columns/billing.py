"""Columns of the billed check: differences and disputes."""

from __future__ import annotations

from models.fields import Definition, cents, choice, count, date, flag, signed_cents, text

DISPUTE_STATES = ("open", "sent", "won", "lost")
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
    "shipment": "several parcels were billed together at another amount than the tariff makes of them",
    "other amount": "an option or event at another amount than the tariff states",
    "tax": "more tax than the tariff's on what was billed",
    "rounding": "a cent",
    "unknown": "another amount than the tariff's",
    "option or event": "billed at the amount that the tariff states: neither expected nor wrong",
    "not checked": "the tariff states no rule for the charge, so nothing is said of it, nor of fuel taken on it",
    "learned price": "within the error of a price learned from bills, so nothing is said of it",
    "learned zone": "its zone is known from other bills only, and not well enough to say more",
    "not rated": "the record or the tariff lacks something, so nothing could be checked",
}


BILLING: dict[str, Definition] = {
    "difference_class": choice("What was billed otherwise", "wrong zone", tuple(DIFFERENCES), label="Cause"),
    "charge_name": text("base, discount, fuel, the surcharge's name, or what is lacking", "long side", label="Charge"),
    "corrected_invoice_number": text("Invoice with the line that this one corrects or repeats", "NL-20261001"),
    "corrected_line_number": count("Line of that invoice that this one corrects or repeats", 17, least=1),
    "expected_cents": signed_cents("What the tariff makes of the shop's own records", 1480),
    "difference_cents": signed_cents("Billed less expected, as far as this cause explains it", 1850),
    "over_cents": signed_cents("What the cause added to the bill, fuel included", 2146, label="Overcharged"),
    "credited_cents": cents("Credited by the carrier in later lines", 0),
    "recovered_cents": cents(
        "What the carrier agreed to give back; counted in the margin when a credit is billed", 2146
    ),
    "outstanding_cents": cents("Neither credited nor recovered", 2146, label="Recoverable"),
    "marked_on": date("Day the dispute's last step was noted", "2026-11-20"),
    "dispute_id": text("Name of the dispute", "NL40017733/wrong-zone"),
    "dispute_state": choice("How far the dispute has come", "open", DISPUTE_STATES),
    "dispute_count": count("Causes that raised a bill", 7, label="Overcharges"),
    "disputable_count": count("Overcharges that can still be disputed", 3, label="To dispute"),
    "disputable_cents": cents("Recoverable on overcharges that can still be disputed", 4031),
    "own_evidence": text("What the shop's records say", "zone 3", label="The shop's record"),
    "billed_evidence": text("What the invoice says", "billed as zone 5", label="The invoice"),
    "last_dispute_on": date("Last day to dispute it by the carrier's own window", "2026-12-11", label="Deadline"),
    "is_disputable": flag("Whether it is open and its last day has not passed", True),
    "has_least_weight": flag("Billed by the least weight of a surcharge that no condition justifies", False),
    "own_cents": signed_cents("By the shop's own facts", 1480),
    "lane_cents": signed_cents("By the shop's own facts, and the billed service and zone", 1480),
    "sides_cents": signed_cents("By the shop's own weight, and the billed service, zone and sides", 1620),
    "weight_cents": signed_cents("By the billed service, zone, sides and weight", 1620),
    "left_cents": signed_cents("Billed beyond what the billed service, zone, sides and weight explain", 0),
    "due_cents": signed_cents("What the tariff makes of the charges, or of what a correction states", 285),
    "shipment_lacking": text("Why the bill of a shipment cannot be checked", "no rule for so many parcels"),
    "billed_fuelled_cents": signed_cents("Billed charges that the tariff takes fuel on", 1480),
    "is_other_base": flag("Whether the billed fuel fits another base than the tariff's", False),
    "on_unrated_cents": signed_cents("Billed fuel that may be taken on charges that the tariff does not rate", 0),
    "first_invoice_number": text("Invoice of the line that is repeated", "NL-20261001"),
    "first_line_number": count("Line of that invoice that is repeated", 17, least=1),
}
