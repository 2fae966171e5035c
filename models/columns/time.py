"""Columns of months and days, of parcels counted by them, and of how far the records reach."""

from models.fields import Topic, cents, choice, count, date, flag, fraction, instant, number, signed_cents, text

GAPS = ("sales without a parcel", "parcels without a bill", "bills without a sale", "claims without a parcel")

TIMES: Topic = {
    "sold_at": instant(
        "When the buyer paid",
        "2026-10-03 14:25:00",
        known_as="[sale/sold] date [clock], sold/received, sale sold/received [date], paid date",
        known_in={"sales": "document date"},
    ),
    "shipped_on": date(
        "Day of shipping; on an invoice, by the carrier's scan",
        "2026-10-05",
        known_as="[parcel] shipped/pickup [date], shipment date, scanned, scan date",
        known_in={"weights": "date"},
    ),
    "deliver_by": date(
        "Last day of delivery that the marketplace promised",
        "2026-10-09",
        known_as="promised [postage] [date], latest postage date",
    ),
    "sold_month": date("First day of the month in which the buyer paid", "2026-10-01", label="Month of sale"),
    "stated_on": date("Day of shipping by the invoice", "2026-10-05"),
    "shipped_month": date(
        "First day of the month of shipping; where no record or label tells, of the first invoice, else of the claim",
        "2026-10-01",
        label="Month",
    ),
    "invoiced_on": date("Date of the invoice", "2026-10-12", known_as="[invoice/document/billed] [issue] date, issue"),
    "from_month": date("First day of the first of the months summed", "2025-11-01"),
    "invoice_month": date("First day of the month of the invoice", "2026-10-01"),
    "effective_from": date("First day on which the entry is valid", "2025-05-01", known_as="valid from, from, since"),
    "effective_before": date("First day after validity; empty while valid", "2026-01-12"),
    "opened_on": date("Day the buyer reported the claim", "2026-10-19", known_as="reported/opened [date]"),
    "filed_on": date("Day the claim was sent to the carrier", "2026-10-21", known_as="filed/sent [date]"),
    "decided_on": date("Day the carrier decided", "2026-11-20", known_as="decided/closed/answered [date], state date"),
    "first_on": date("Earliest day in the records", "2025-05-01", label="From"),
    "last_on": date("Latest day in the records", "2026-10-31", label="To"),
    "landed_at": instant("When the latest delivery was imported", "2026-11-01 06:00:00", label="Latest delivery"),
    # Count parcels, and rates of them
    "parcel_count": count("Parcels", 341, label="Parcels"),
    "charged_parcel_count": count("Parcels that were charged it", 42, label="Parcels charged"),
    "damage_count": count("Parcels with a claim for damage", 6, label="Damage claims"),
    "loss_count": count("Parcels with a claim for loss", 1, label="Loss claims"),
    "other_claim_count": count("Parcels with any other claim", 0, label="Other claims"),
    "surcharge_rate": fraction("Share of the carrier's parcels charged it", 0.12, label="Share of parcels"),
    "crude_damage_rate": fraction("Damage claims over parcels, not corrected for claims to come", 0.018),
    "invoiced_share": fraction("Share of parcels with a base charge", 0.97, label="Share invoiced"),
    "benched_parcel_count": count("Parcels in the bench log", 338, label="In bench log"),
    "measured_parcel_count": count("Parcels with measured sides", 310, label="Measured"),
    "charged_count": count("Parcels with a base charge", 335, label="Parcels with base charge"),
    "checked_parcel_count": count("Parcels whose bill could be checked against a tariff", 331, label="Bills checked"),
    "sold_parcel_count": count("Parcels whose sale is known", 338, label="Sale known"),
    "dated_by_invoice_count": count(
        "Parcels that count in the month of their first invoice, as no record says when they were shipped",
        3,
        label="Dated by invoice",
    ),
    "dated_by_claim_count": count(
        "Parcels that count in the month in which their claim was reported, as no record says when they were shipped "
        "or billed",
        1,
        label="Dated by claim",
    ),
    # The state of the records, and of the shop's settings
    "kind": text("Record kind", "charges", label="Record kind"),
    "row_count": count("Rows", 18211, label="Rows"),
    "delivery_count": count("Deliveries imported", 19, label="Deliveries"),
    "gap": choice("What is missing of the month's records", "parcels without a bill", GAPS, label="Missing"),
    "due_count": count("Records of the month that should have their counterpart", 376, label="Of"),
    "missing_count": count("Records without their counterpart", 17, label="Without"),
    "gap_cents": signed_cents(
        "Money of the record: shipping paid less refunds and fees, what is expected, billed or lost", 3120
    ),
    "missing_cents": signed_cents(
        "Their money: shipping paid less refunds and fees, what is expected, billed or lost", 51200, label="Amount"
    ),
    "valued_count": count("Of those without, records whose amount is known", 17, label="Amount known"),
    "rejected_count": count("Rejected rows still open", 4, label="Rejected, open"),
    "warning": text("Name of the check", "unknown cartons"),
    "meaning": text("What the check looks for", "Parcels whose carton has no catalogue entry"),
    "examples": text("The first rows found, cut short", "[{'parcel_id': 'NL40017733'}]"),
    "currency": text("Currency of all amounts", "USD"),
    "wage_cents_per_hour": cents("Wage", 2400),
    "is_tax_reclaimed": flag("The shop gets the tax that carriers bill back", False),
    "shipping_tax_share": number("Sales tax within shipping paid by buyers, as a share of the rest", 0.2, least=0),
    "sharing_divisor_in3_per_lb": number("Divisor for an item's own chargeable weight", 139.0, least=1),
    "shown_length_unit": text("The unit in which the shop sees lengths", "cm"),
    "shown_length_factor": number("How many of it are one of the unit kept", 2.54, least=0),
    "shown_length_steps": count("Parts of it that are shown", 10, least=1),
    "shown_weight_unit": text("The unit in which the shop sees weights", "kg"),
    "shown_weight_factor": number("How many of it are one of the unit kept", 0.45359237, least=0),
    "shown_weight_steps": count("Parts of it that are shown", 100, least=1),
}
