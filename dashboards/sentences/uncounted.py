"""What the margin does not count: costs without a record, rejected rows; and what it may count more than once."""

from dashboards.review_tables import Records
from dashboards.sentences.entry import Rows, RowsOf, kept, where
from dashboards.sentences.grounds import (
    STATES,
    WARNINGS,
    are_absent,
    are_there,
    covered,
    covered_after,
    gap,
    greatest,
    having,
    only_if,
    parcels_of_month,
)

# A kind of record of which more rows than this share are rejected lacks enough to be shown first (common practice, no
# source).
MOSTLY_ACCEPTED = 0.01
# A month of whose bills more than this share have no sale lacks income that may turn its sign (common practice, no
# source).
MOST_UNSOLD = 0.1
PACKING = CARTONS, MATERIAL, LABOUR = "carton_cents", "material_cents", "labour_cents"


def _rejected(records: Records) -> Rows:
    """Kinds of which more is rejected than is worth a look now and then."""
    rows = records.table(STATES)
    return rows[rows["rejected_count"] > MOSTLY_ACCEPTED * (rows["row_count"] + rows["rejected_count"])]


def _unsold(records: Records) -> Rows:
    """The month's bills without a sale, where sales are on record and too many lack theirs; not those of ways back."""
    rows = gap(records, "bills without a sale")
    return only_if(are_there(records, "sales"), rows[rows["missing_count"] > MOST_UNSOLD * rows["due_count"]])


def _counted_margin(records: Records) -> Rows:
    return parcels_of_month(records).dropna(subset=["margin_cents"])


def _lacks(records: Records, *lacking: str) -> bool:
    """Whether these of the costs of packing are not known of the month, and the others are."""
    rows = _counted_margin(records)[list(PACKING)].isna()
    return bool(len(rows)) and set(rows.columns[rows.iloc[0]]) == set(lacking)


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
    where(
        "uncounted.rejected",
        "Rejected on import and not counted: {rejected_count:row/rows} of {kind:words}. `dunnage rejects` lists the "
        "reasons.",
        lambda records: only_if(len(_rejected(records)) == 1, _rejected(records)),
    ),
    where(
        "uncounted.rejected_several",
        "Rejected on import and not counted: {rejected_count:row/rows} of {kind:words}, and rows of other kinds of "
        "record. `dunnage rejects` lists the reasons.",
        lambda records: only_if(len(_rejected(records)) > 1, greatest(_rejected(records), "rejected_count")),
    ),
    where(
        "uncounted.sales",
        "No sale is on record for {missing_count} of {due_count:billed parcel/billed parcels}: anything that buyers "
        "paid for shipping these is not counted. `dunnage trace marts.record_gaps` lists them.",
        _unsold,
    ),
    where(
        "uncounted.repeated",
        "{row_count:line/lines} of sales with several lines state the same shipping, and it counts for each of them. "
        "If it is that of the whole sale, say so in the map by `--constant is_shipping_of_sale=yes`, take the files "
        "back (`dunnage intake --list`, `--withdraw`) and import them again.",
        having(WARNINGS, "warning", "amounts on every line"),
    ),
    where(
        "uncounted.damage",
        "The margin counts no damage: no claims are on record.",
        lambda records: len(_counted_margin(records)) > 0 and are_absent(records, "claims"),
    ),
    where(
        "uncounted.packing",
        "The margin counts no cartons, material or packing time: no bench log is on record.",
        lambda records: _lacks(records, *PACKING) and are_absent(records, "weights"),
    ),
    where(
        "uncounted.costs",
        "The margin counts no cartons, material or packing time: what they cost is not on record.",
        lambda records: _lacks(records, *PACKING) and not are_absent(records, "weights"),
    ),
    where(
        "uncounted.cartons",
        "The margin counts packing time, but no cartons and no material: what they cost is not on record.",
        lambda records: _lacks(records, CARTONS, MATERIAL),
    ),
    where(
        "uncounted.material",
        "The margin counts no material: what it costs is not on record.",
        lambda records: _lacks(records, MATERIAL),
    ),
    where(
        "uncounted.labour",
        "The margin counts no packing time: no record says how long packing takes.",
        lambda records: _lacks(records, LABOUR),
    ),
    where(
        "uncounted.material_and_labour",
        "The margin counts cartons, but no material and no packing time: what they cost is not on record.",
        lambda records: _lacks(records, MATERIAL, LABOUR),
    ),
    where(
        "uncounted.cartons_and_labour",
        "The margin counts material, but no cartons and no packing time: what they cost is not on record.",
        lambda records: _lacks(records, CARTONS, LABOUR),
    ),
)
