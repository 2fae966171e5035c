"""Columns of days and instants."""

from __future__ import annotations

from models.fields import Definition, date, instant

TIMES: dict[str, Definition] = {
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
    "opened_on": date("Day the buyer reported the claim", "2026-10-19", known_as="reported, opened"),
    "filed_on": date("Day the claim was sent to the carrier", "2026-10-21", known_as="filed, sent"),
    "decided_on": date("Day the carrier decided", "2026-11-20", known_as="decided, closed, answered"),
    "first_on": date("Earliest day in the records", "2025-05-01", label="From"),
    "last_on": date("Latest day in the records", "2026-10-31", label="To"),
    "landed_at": instant("When the latest delivery was imported", "2026-11-01 06:00:00", label="Latest delivery"),
}
