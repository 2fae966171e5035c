"""Columns of invoices and their lines, of what was billed otherwise than expected, and of surcharges within reach."""

from models.fields import Topic, cents, choice, count, date, flag, fraction, inches, limits, pounds, signed_cents, text

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
CHARGE_KINDS = ("base", "fuel", "surcharge", "adjustment", "tax", "credit")
TOTAL_CHECKS = ("not stated", "adds up", "adds up without tax", "does not add up", "two totals")
INVOICE_GAPS = ("number", "period")
RECOVERY_KINDS = ("dispute", "claim")
CHANGES = ("longest side", "second side", "shortest side", "weight")

BILLING: Topic = {
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
    "first_invoice_number": text("Invoice of the line that is repeated", "NL-20261001"),
    "first_line_number": count("Line of that invoice that is repeated", 17, least=1),
    # A carrier's invoice lines
    "invoice_number": text("Number of the invoice", "NL-2026-10-2", known_as="invoice/document [number/reference]"),
    "charge_code": text(
        "Carrier's word for the charge",
        "LONG SIDE",
        known_as="[cost] charge [code/description/type], code, description, fee",
    ),
    "charge_kind": choice(
        "Kind of charge; empty on an invoice where `charge_codes` gives it",
        "surcharge",
        CHARGE_KINDS,
        built=("unmapped",),
        known_as="[charge/cost] kind, cost type, type",
    ),
    "surcharge": text("The surcharge's name, by the tariff or as the shop calls the carrier's word", "long side"),
    "amount_cents": signed_cents(
        "Amount of the charge; credits are negative", 1850, known_as="[charge/billed] [net] amount, net, charge"
    ),
    "billed_weight_lb": pounds("Weight billed", 23.0, zero=True, known_as="[billed/charged] weight"),
    "billed_length_in": inches("Longest side billed", 49.0, known_as="[billed] length [side], side 1"),
    "billed_width_in": inches("Second side billed", 8.0, known_as="[billed] width [side], side 2"),
    "billed_height_in": inches(
        "Shortest side billed", 8.0, known_as="[billed] height [side], [billed] shortest side, side 3"
    ),
    # Whole invoices: totals that they state, invoices that never came, and money that is owed
    "invoice_total_cents": signed_cents(
        "Total that the invoice states for all of its lines, tax and credits included",
        431_220,
        known_as="invoice/document total [amount]",
    ),
    "least_stated_cents": signed_cents("Lowest total that a line of the invoice states", 431_220),
    "most_stated_cents": signed_cents("Highest total that a line of the invoice states", 431_220),
    "stated_cents": signed_cents(
        "Total that the invoice states, where all of its lines state the same", 431_220, label="Stated total"
    ),
    "total_check": choice(
        "What the stated total says of the lines: all of them, or all but the tax, add up to it or do not",
        "does not add up",
        TOTAL_CHECKS,
        label="Total and lines",
    ),
    "short_cents": signed_cents("Stated total less the lines, tax and credits", 1_850, label="Stated less lines"),
    "invoice_gap": choice(
        "How it is known: a number of the series is missing, or none came when the carrier usually bills",
        "number",
        INVOICE_GAPS,
        label="Known by",
    ),
    "after_invoice_number": text("Last invoice before it", "NL-10421", label="Invoice before"),
    "after_on": date("Date of the last invoice before it", "2026-09-07", label="Dated"),
    "before_invoice_number": text("First invoice after it", "NL-10423", label="Invoice after"),
    "before_on": date("Date of the first invoice after it", "2026-09-21", label="Invoice after dated"),
    "missing_numbers": text("Numbers of the series that no file brought", "NL-10422"),
    "missing_invoice_count": count("Invoices missing", 1, least=1, label="Invoices missing"),
    "expected_on": date("Day on which the first of them was to be expected", "2026-09-14", label="Expected about"),
    "usual_interval_days": count("Days that usually lie between two of the carrier's invoices", 7, least=1),
    "numbered_count": count("Steps from one number of the carrier's series to the next", 41),
    "followed_count": count("Of these, steps without a missing number", 40),
    "waiting_from_on": date("Parcels shipped from this day on count as waiting for it", "2026-09-01"),
    "waiting_to_on": date("Parcels shipped until this day count as waiting for it", "2026-09-20"),
    "waiting_count": count("The carrier's parcels of that time without a bill", 17, label="Parcels waiting"),
    "waiting_valued_count": count("Of these, parcels whose carriage a tariff expects", 17, label="Of these, priced"),
    "waiting_cents": cents("Carriage that the tariff expects for them", 31_200, label="Carriage expected"),
    "recovery_id": text("The dispute or claim", "NL40017733/wrong-zone", label="Dispute or claim"),
    "recovery_kind": choice("Whether a dispute was won or a claim granted", "dispute", RECOVERY_KINDS, label="Kind"),
    "granted_on": date("Day on which the carrier agreed", "2026-10-21", label="Granted on"),
    "granted_cents": cents("What the carrier agreed to pay", 18_900, known_as="[claim] granted [amount]"),
    "received_cents": cents("Credited or paid so far", 0),
    "owed_cents": cents("Granted and neither credited nor paid", 18_900, label="Still owed"),
    # What a little less would save, and of surcharges by group
    "reach_in": inches("How much off one side, within which a charge counts as avoidable", 1.0, most=12),
    "reach_lb": pounds("How much off the weight, within which a charge counts as avoidable", 1.0, most=12),
    "class_key": count("Parcels that the tariff takes for one, but for fuel", 1, least=1),
    "direction": count("-1 for less, 1 for more", -1, least=-1, most=1),
    "is_whole_reach": flag("Whether it does what the whole reach would", True),
    "eighth": count("Eighths of the reach", 3, least=1, most=8),
    "near_miss": choice("Whether it was paid, or kept off by little", "paid", ("paid", "just under")),
    "change": choice("What would be a little less, or more", "longest side", CHANGES, label="Measure"),
    "change_in": inches("Least change of that side that does it", 0.75, label="Reduction"),
    "limit_in": inches(
        "Closed length from which the carrier charges for a long side, its rounding counted", 48.5, label="Charged from"
    ),
    "from_length_in": inches("Closed length of the parcels, at least", 48.75, label="Closed length"),
    "until_length_in": inches("Closed length of the parcels, less than", 49.0, label="Less than"),
    "is_beyond": flag("Whether the carrier charges for that length", True, label="Charged for"),
    "change_lb": pounds("Least change of the weight that does it", 0.5, label="Reduction"),
    "spared_cents": signed_cents("What the change would save by the tariff, fuel included", 2320, label="Would save"),
    "is_counted": flag("Whether its saving is added up: once for each parcel", True),
    "can_cut": flag("Whether cutting the carton lower does it and the goods still fit", True),
    "cut_count": count("Parcels whose carton can be cut so far", 743, label="Could be cut"),
    "other_carton_code": text(
        "Smallest carton of the catalogue that holds the goods and keeps the charge off", "C-46", label="Other carton"
    ),
    "grouped_by": choice("What the parcels are grouped by", "item type", ("item type", "carton", "service")),
    "group_name": text("The item type, carton or service", "tripod", label="Group"),
    "avoidable_count": count("Parcels whose surcharge a little less would have avoided", 498),
    "avoidable_cents": signed_cents("Part of the amount that a little less would have avoided", 768_000),
    "avoidable_share": fraction("Avoidable part of the amount", 0.91),
    **limits(fraction, "rate_low", "the share, 95 percent", 0.91, 0.96, "Share"),
}
