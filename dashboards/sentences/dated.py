"""Parcels that count in the month of their invoice or claim, as no record says when they were shipped."""

from dashboards.sentences.entry import RowsOf, kept, where
from dashboards.sentences.grounds import covered, covered_after


def _by_invoice(months: RowsOf) -> RowsOf:
    return kept(months, lambda found: found["dated_by_invoice_count"] > 0)


ENTRIES = (
    where(
        "dated.by_invoice",
        "{dated_by_invoice_count} of {parcel_count:parcel/parcels} of {shipped_month} are counted in the month of "
        "their first invoice, as no record says when they were shipped. A day of shipping in the bench log or on the "
        "carrier's invoice would tell, or a file of labels.",
        _by_invoice(covered),
    ),
    where(
        "dated.next_by_invoice",
        "{dated_by_invoice_count} of {parcel_count:parcel/parcels} that are counted in {shipped_month}, the month of "
        "their first invoice, may have been shipped before it: no record says when.",
        _by_invoice(covered_after),
    ),
    where(
        "dated.by_claim",
        "{dated_by_claim_count} of {parcel_count:parcel/parcels} of {shipped_month} are counted in the month in which "
        "their claim was reported, as no record says when they were shipped or billed.",
        kept(covered, lambda rows: rows["dated_by_claim_count"] > 0),
    ),
)
