"""A month per parcel beside other months."""

from dashboards.review_tables import Records
from dashboards.sentences.entry import Rows, definition, of_rows
from dashboards.sentences.grounds import COMPARISONS, FEWEST_OF_MONTH, flagged, is_judged, only_if


def _alike(records: Records) -> Rows:
    """What the month may be compared with, where both have parcels enough."""
    rows = records.month_rows(COMPARISONS)
    rows = only_if(is_judged(records), rows[rows["compared_parcel_count"] >= FEWEST_OF_MONTH])
    return flagged(rows, "is_like_with_like")


ENTRIES = (
    of_rows(
        COMPARISONS,
        "margin.compared",
        "By what is on record, each parcel left {margin_per_parcel_cents}: {per_parcel_change_cents} against "
        "{compared_with} ({compared_per_parcel_cents} on {compared_parcel_count:parcel/parcels}).",
        _alike,
    ),
    definition(
        "margin.compared_means",
        "Months are compared where a bench log, or sales that all have their parcel, name the parcels, and they are "
        "about equally complete: the shares of parcels with a bench log, a bill and a sale differ by five points at "
        "most, and bills that are missing could not turn the sign.",
    ),
)
