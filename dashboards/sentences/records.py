"""How complete the records are: what is packed, billed, sold and claimed."""

from dashboards.review_tables import Records
from dashboards.sentences.entry import Rows, kept, of_records, where
from dashboards.sentences.grounds import (
    COVERAGE,
    FEWEST,
    STATES,
    WARNINGS,
    are_absent,
    are_there,
    covered,
    gap,
    having,
    is_each_sale_sent,
    only_if,
    parcels_of_month,
    state,
)
from dashboards.sentences.open_months import has_nothing_open
from dashboards.values import month_after
from models.plain_rows import midnight

UNUSED = "marts.unused_labels"
SCANS = "marts.label_scans"
SALES = "sales without a parcel"

_some_billed = kept(covered, lambda rows: (rows["charged_count"] < rows["parcel_count"]) & (rows["charged_count"] > 0))

_all_billed = kept(covered, lambda rows: rows["charged_count"] == rows["parcel_count"])


def _all_benched_billed(records: Records) -> Rows:
    """Where each parcel of the bench log has a day: of those without one only the billed are counted."""
    rows = only_if(not _has_undated(records), _all_billed(records))
    return rows[(rows["benched_parcel_count"] == rows["parcel_count"]) & (rows["dated_by_invoice_count"] == 0)]


def _has_undated(records: Records) -> bool:
    return bool((having(WARNINGS, "warning", "undated parcels")(records)["row_count"] > 0).any())


def _all_known_billed(records: Records) -> Rows:
    rows = only_if(not is_each_sale_sent(records), _all_billed(records))
    return rows[(rows["benched_parcel_count"] < rows["parcel_count"]) & (rows["benched_parcel_count"] > 0)]


def _known_by_bills_only(records: Records) -> Rows:
    sold = gap(records, SALES)
    is_linked = bool((sold["missing_count"] < sold["due_count"]).any())
    rows = only_if(not is_linked, covered(records))
    return rows[(rows["benched_parcel_count"] == 0) & (rows["charged_count"] > 0)]


def _all_sold_billed(records: Records) -> Rows:
    rows = _all_billed(records)
    is_proven = is_each_sale_sent(records) and bool((rows["benched_parcel_count"] < rows["parcel_count"]).any())
    return only_if(is_proven, gap(records, "sales without a parcel"))


def _all_used(records: Records) -> Rows:
    """Carriers that report scans, none of whose labels lies unused."""
    rows = only_if(records.has(UNUSED), records.table(SCANS))
    return rows[(rows["scanned_count"] > 0) & ~rows["carrier"].isin(records.table(UNUSED)["carrier"])]


@of_records
def _missing(records: Records, name: str) -> Rows:
    """The month's row of a gap, where some records lack their counterpart, not all, and their money is known."""
    found = gap(records, name)
    some = found[(found["missing_count"] > 0) & (found["valued_count"] == found["missing_count"])]
    return some[some["missing_count"] < some["due_count"]] if name == SALES else some


def _no_sale_linked(records: Records) -> Rows:
    rows = gap(records, SALES)
    return rows[(rows["missing_count"] == rows["due_count"]) & (rows["due_count"] > 0)]


def _has_parcels(records: Records) -> bool:
    return len(parcels_of_month(records)) > 0


def _last_claim(records: Records) -> Rows:
    rows = state(records, "claims")
    month = records.month
    is_before = month is not None and rows["last_on"] < midnight(month)
    return only_if(_has_parcels(records), rows[(rows["row_count"] > 0) & is_before])


def _short_year(records: Records) -> Rows:
    """The first month with parcels, where twelve months that end with the one looked at begin before it."""
    rows = records.table(COVERAGE)
    first = rows[rows["parcel_count"] > 0].sort_values("shipped_month").head(1)
    if records.month is None:
        return first.iloc[:0]
    begins = midnight(month_after(records.month.replace(year=records.month.year - 1)))
    return first[first["shipped_month"] > begins]


ENTRIES = (
    where(
        "records.short_year",
        "The records begin in {shipped_month}, so these are fewer than twelve months.",
        _short_year,
    ),
    where(
        "records.some_billed",
        "{charged_count} of {parcel_count} parcels on record have a bill so far ({invoiced_share}).",
        kept(_some_billed, lambda rows: rows["parcel_count"] >= FEWEST),
    ),
    where(
        "records.some_billed_of_few",
        "{charged_count} of {parcel_count:parcel/parcels} on record have a bill so far.",
        kept(_some_billed, lambda rows: rows["parcel_count"] < FEWEST),
    ),
    where(
        "records.none_billed",
        "No bill is on record for {shipped_month}.",
        kept(covered, lambda rows: rows["charged_count"] == 0),
    ),
    where(
        "records.all_billed",
        "Every parcel of the bench log has a bill: {charged_count} of {parcel_count}.",
        _all_benched_billed,
    ),
    where(
        "records.all_known_billed",
        "{charged_count:parcel has/parcels have} a bill, but the bench log names only {benched_parcel_count} of them, "
        "so there may be parcels without a bill that no record names.",
        _all_known_billed,
    ),
    where(
        "records.known_by_bills_only",
        "The bench log names no parcel of {shipped_month}: only parcels that carriers have billed or buyers have "
        "complained of are counted, and there may be more.",
        _known_by_bills_only,
    ),
    where(
        "records.all_sold_billed",
        "Each of the {due_count:sale line/sale lines} of {shipped_month} has its parcel, and every parcel has a bill.",
        _all_sold_billed,
    ),
    where(
        "records.sales_without_parcel",
        "No parcel is on record for {missing_count} of {due_count:sale line/sale lines} of {shipped_month}; "
        "{missing_cents} of shipping paid on them, after refunds and fees, is in no month yet.",
        _missing(SALES),
    ),
    where(
        "records.no_sale_linked",
        "No record says in which parcel a sale of {shipped_month} went ({due_count:sale line/sale lines}).",
        _no_sale_linked,
    ),
    where(
        "records.bills_without_sale",
        "No sale is on record for {missing_count:billed parcel/billed parcels}, {missing_cents} in all.",
        _missing("bills without a sale"),
    ),
    where(
        "records.claims_without_parcel",
        "Neither the bench log nor an invoice names {missing_count:claimed parcel/claimed parcels}, which lost "
        "{missing_cents}.",
        _missing("claims without a parcel"),
    ),
    where(
        "records.no_claims",
        "No claims are on record, so damage is not known. What is shown without damage may have had some.",
        lambda records: _has_parcels(records) and are_absent(records, "claims"),
    ),
    where(
        "records.claims_to_come",
        "Claims that buyers have not reported yet are not included.",
        lambda records: _has_parcels(records) and are_there(records, "claims") and has_nothing_open(records),
    ),
    where(
        "records.claims_end_before",
        "The last claim on record was opened on {last_on}, before {:month} began: either there was none since, or "
        "claims records are missing.",
        _last_claim,
    ),
    where(
        "records.coverage",
        "{shipped_month}: {parcel_count:parcel is/parcels are} counted. In the bench log: {benched_parcel_count}. "
        "With measured sides: {measured_parcel_count}. With a base charge on an invoice: {charged_count}. With a known "
        "sale: {sold_parcel_count}. A figure that needs a missing record leaves its parcel out.",
        covered,
    ),
    where(
        "records.no_coverage",
        "No parcel on record is counted in {:month}.",
        lambda records: records.has(COVERAGE) and records.month is not None and covered(records).empty,
    ),
    where("records.no_parcel_ever", "No record names a parcel yet.", lambda records: records.is_empty(COVERAGE)),
    where("records.no_sale", "No sale is on record yet.", lambda records: are_absent(records, "sales")),
    where(
        "labels.none_unused",
        "{carrier}: {scanned_count} of {label_count:label shows/labels show} a scan, and no paid one is without for a "
        "week or more.",
        _all_used,
    ),
    where(
        "labels.no_scans",
        "{carrier} reports no scan of its {label_count:label/labels}, so it is not known which were used.",
        lambda records: records.table(SCANS).query("scanned_count == 0"),
    ),
    where(
        "records.nothing_imported",
        "Nothing has been imported yet.",
        lambda records: records.has(STATES) and not records.table(STATES)["row_count"].sum(),
    ),
    where(
        "records.no_warning",
        "No check found anything to warn about.",
        lambda records: records.has(WARNINGS) and not records.table(WARNINGS)["row_count"].sum(),
    ),
)
