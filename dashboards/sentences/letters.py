"""Editions, what goes with a letter, and what a terminal says of letters, runs and tables."""

from dashboards.review_tables import Records
from dashboards.sentences.entry import Condition, Rows, RowsOf, kept, where
from models.plain_rows import midnight

# Small tables that surfaces make of what they are handed.
EDITION, CHANGES, FILES = "letter.edition", "letter.changes", "letter.files"
# How many of a kind a letter or a terminal leaves out.
MORE_DUE, MORE_ACTIONS, MORE_INVOICES = "letter.due", "letter.actions", "letter.invoices"
LETTERS, RUNS, OVERDUE = "terminal.letters", "terminal.runs", "terminal.overdue"
REVIEWS, SHEETS, TRACE = "terminal.reviews", "workbook.sheets", "terminal.trace"
PRINTED = "workbook.printed_tables"
COVERAGE = "marts.coverage"
ZONES = ("marts.zone_sources", "marts.zones_against_chart")
CLAIMS, WAITING = "terminal.claims", "terminal.claims_waiting"
BENCH, BENCH_SHEETS = "terminal.bench", "terminal.bench_sheets"
CHOSEN = "terminal.month"


def _edition(is_first: bool) -> RowsOf:
    return kept(EDITION, lambda found: (found["edition"] == 1) == is_first)


def _has_page(records: Records) -> bool:
    names = records.table(FILES).dropna(subset=["attached_names"])["attached_names"]
    return any(".zip" in name for name in names)


def _is_empty(table: str) -> Condition:
    return lambda records: records.is_empty(table)


def _has_state(state: str) -> Condition:
    return lambda records: bool((records.table(LETTERS)["state"] == state).any())


def _is_chosen(is_over: bool, is_billed: bool) -> Condition:
    """Whether the month was taken as one that is over, and nearly all billed or usually would be."""

    def holds(records: Records) -> bool:
        rows = records.table(CHOSEN)
        return bool(((rows["is_over"] == is_over) & (rows["is_billed"] == is_billed)).any())

    return holds


def _later(records: Records) -> Rows:
    rows = records.table(COVERAGE)
    is_later = rows["shipped_month"] > midnight(records.month) if records.month else rows["parcel_count"] < 0
    return rows[is_later & (rows["parcel_count"] > 0)]


def _related(relation: str) -> RowsOf:
    return kept(TRACE, lambda found: found["relation"] == relation)


ENTRIES = (
    where(
        "trace.added",
        "Made from {parcel_count:parcel/parcels}, whose amounts add up to {amount_cents}.",
        _related("added up"),
    ),
    where("trace.exactly", "Based on {parcel_count:parcel/parcels}.", _related("exactly")),
    where(
        "trace.among",
        "Based on some or all of {parcel_count:parcel/parcels}; the analysis decides which of them count.",
        _related("among"),
    ),
    where("trace.part", "Of what stands behind it, {parcel_count:parcel/parcels} as asked for.", _related("part")),
    where("trace.none", "No record of a parcel stands behind it.", lambda records: len(_related("none")(records)) > 0),
    where(
        "edition.first",
        "Edition {edition} of this month's review: editions go by what is counted, not by what is estimated.",
        _edition(True),
    ),
    where(
        "edition.later", "Edition {edition} of this month's review. Since edition {edition_before}:", _edition(False)
    ),
    where(
        "edition.nothing_changed",
        "No headline amount changed; smaller figures did.",
        lambda records: len(_edition(False)(records)) > 0 and records.is_empty(CHANGES),
    ),
    where("letter.attached", "Attached: {attached_names}.", lambda records: records.table(FILES)),
    where("letter.open_page", "Unpack the page and open it in a browser; it needs no network.", _has_page),
    where("letter.lies_at", "On the shop's machine: {unasked_place}", lambda records: records.table(FILES)),
    where("letter.too_large", "Too large to attach: {kept_place}", lambda records: records.table(FILES)),
    where("letter.made", "Made {made_at} from the shop's own records.", lambda records: records.table(FILES).head(1)),
    where(
        "letter.more_due",
        "{row_count:more deadline/more deadlines}: `dunnage disputes list` and `dunnage claims` have all of them.",
        lambda records: records.table(MORE_DUE),
    ),
    where(
        "letter.more_actions",
        "{row_count:more action is/more actions are} on the page, under Money.",
        lambda records: records.table(MORE_ACTIONS),
    ),
    where(
        "letter.more_invoices",
        "{row_count:more line/more lines} on invoices and payments: on the page, under Carriers.",
        lambda records: records.table(MORE_INVOICES),
    ),
    where("letter.none_waits", "No letter is waiting, and none failed.", _is_empty(LETTERS)),
    where(
        "letter.failed",
        "failed: the server took none of these letters; `dunnage send --retry-failed` sends them again",
        _has_state("failed"),
    ),
    where(
        "letter.unsure",
        "unsure: handed over without a clear answer, so each may have arrived or not; `dunnage send --retry-unsure` "
        "sends them again, `dunnage send --arrived` says that they came",
        _has_state("unsure"),
    ),
    where("runs.none", "No run has been scheduled; `dunnage schedule` serves them.", _is_empty(RUNS)),
    where("runs.nothing_overdue", "Nothing is overdue.", _is_empty(OVERDUE)),
    where(
        "workbook.cut",
        "Only {shown_row_count} of {row_count} rows are here, those of the latest months up to the review's. All of "
        "them: `dunnage export {table_name} FILE`.",
        kept(SHEETS, lambda rows: rows["row_count"] > rows["shown_row_count"]),
    ),
    where(
        "workbook.printed",
        "Set to print: the first {printed_row_count:row/rows} of {row_count}.",
        kept(PRINTED, lambda rows: rows["row_count"] > rows["printed_row_count"]),
    ),
    where(
        "workbook.printed_columns",
        "Set to print: the first {printed_column_count:column/columns} of {column_count}.",
        kept(PRINTED, lambda rows: rows["column_count"] > rows["printed_column_count"]),
    ),
    where(
        "zones.as_charted",
        "No parcel lacks a zone on record, and no bill contradicts a zone chart.",
        lambda records: bool(len(records.table(COVERAGE))) and all(records.is_empty(name) for name in ZONES),
    ),
    where("zones.no_parcel", "No parcel is on record, so there is no zone to look up.", _is_empty(COVERAGE)),
    where(
        "reviews.chosen",
        "No month was named: this is the last that is over and, as fast as bills usually come, nearly all billed.",
        _is_chosen(True, True),
    ),
    where(
        "reviews.chosen_unbilled",
        "No month was named, and none that is over is nearly all billed: this is the last of them.",
        _is_chosen(True, False),
    ),
    where(
        "reviews.chosen_open",
        "No month was named, and none is over by the records: this is the last on record.",
        _is_chosen(False, False),
    ),
    where(
        "reviews.later",
        "Later: {shipped_month}, {charged_count} of {parcel_count:parcel/parcels} billed so far.",
        _later,
    ),
    where("reviews.none", "No month has been reviewed yet.", _is_empty(REVIEWS)),
    where("claims.none_on_record", "No claim is on record.", _is_empty(CLAIMS)),
    where(
        "claims.mark",
        "next: `dunnage claims mark CLAIM STATE` notes what became of one, `dunnage claim PARCEL` prepares the papers.",
        lambda records: len(records.table(WAITING)) > 0,
    ),
    where(
        "claims.no_terms",
        "A carrier's days for claims are stated in its tariff (`claim_days`, `[[claim_terms]]`); where none are, ask "
        "the carrier.",
        lambda records: bool((records.table(WAITING)["has_deadline"].eq(False)).any()),
    ),
    where("claims.none_waits", "No claim on record waits for a step.", _is_empty(WAITING)),
    where(
        "bench.nothing_waits",
        "Nothing waits for the bench: no label or sale within {day_count:day/days} of the last on record is without a "
        "bench row.",
        lambda records: records.table(BENCH)[records.table(BENCH)["parcel_count"] == 0],
    ),
    where(
        "bench.no_sheet",
        "There is no bench sheet yet: it needs packed sides of item types, packing methods, cartons, and parcels "
        "of one piece that a tariff prices.",
        _is_empty(BENCH_SHEETS),
    ),
)
