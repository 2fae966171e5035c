"""What an announced tariff would have changed for past parcels."""

from dashboards.review_tables import Records
from dashboards.sentences.entry import Rows, definition, of_records, where
from dashboards.sentences.grounds import FEWEST

TOTALS, CROSSINGS, TERMS = "comparison.totals", "comparison.crossings", "comparison.terms"
COMPARED = (
    "The {compared_count} of {parcel_count:parcel/parcels} of {carrier} from {first_on} to {last_on} that both tariffs "
    "price would have cost {after_cents} instead of {before_cents}: {change_cents}"
)


@of_records
def _compared(records: Records, is_many: bool) -> Rows:
    found = records.table(TOTALS)
    found = found[found["compared_count"] > 0]
    return found[((found["compared_count"] >= FEWEST) & found["change_share"].notna()) == is_many]


def _none_compared(records: Records) -> bool:
    return records.has(TOTALS) and not records.table(TOTALS)["compared_count"].sum()


def _largest(records: Records) -> Rows:
    rows = records.table(CROSSINGS).dropna(subset=["change_cents"])
    return rows.sort_values("change_cents", key=abs, ascending=False, kind="stable").head(1)


@of_records
def _together(records: Records, adds_up: bool) -> Rows:
    found = records.table(TERMS).sort_values("term_number").tail(1)
    found = found[found["compared_count"] > 0]
    return found[(found["change_cents"] == found["alone_cents"]) == adds_up]


@of_records
def _learned(records: Records, table: str, is_known: bool) -> Rows:
    """The last row of a table where its figures are based on learned prices; of an offer all terms together."""
    found = records.table(table).tail(1)
    found = found[(found["learned_count"] > 0) & (found["compared_count"] > 0)]
    return found[found["within_cents"].notna() == is_known]


LEARNED = "Of these {learned_count:parcel is/parcels are} priced by prices learned from bills"
OFF = f"{LEARNED}: with each of those off by its 95% interval, all the same way, the change is {{within_cents}} off."
NOT_KNOWN = f"{LEARNED}, of which it is not known how far they miss."
WORTH = (
    "All terms together would have changed the {before_cents} of {compared_count:parcel/parcels} by {change_cents}; "
    "each alone they add up to"
)

ENTRIES = (
    where(
        "tariff_change.together",
        f"{WORTH} {{alone_cents}}, because one term changes what another applies to.",
        _together(False),
    ),
    where("tariff_change.together_as_alone", f"{WORTH} the same.", _together(True)),
    where(
        "tariff_change.none_priced",
        "No parcel could be priced with and without the terms.",
        lambda records: records.has(TERMS) and not records.table(TERMS)["compared_count"].sum(),
    ),
    where("tariff_change.learned", OFF, _learned(TOTALS, True)),
    where("tariff_change.learned_not_known", NOT_KNOWN, _learned(TOTALS, False)),
    where("tariff_change.term_learned", OFF, _learned(TERMS, True)),
    where("tariff_change.term_learned_not_known", NOT_KNOWN, _learned(TERMS, False)),
    where("tariff_change.compared", f"{COMPARED}, {{change_share}}.", _compared(True)),
    where("tariff_change.compared_few", f"{COMPARED}.", _compared(False)),
    where("tariff_change.none", "No parcel could be priced by both tariffs.", _none_compared),
    where(
        "tariff_change.largest_crossing",
        "The largest: {surcharge}, {crossing} on {parcel_count:parcel/parcels} of {item_type}, {change_cents}.",
        _largest,
    ),
    where(
        "tariff_change.no_crossing",
        "No parcel crosses a threshold.",
        lambda records: records.is_empty(CROSSINGS) and not _none_compared(records),
    ),
    definition(
        "tariff_change.days",
        "Past parcels are moved by whole years of 52 weeks into the announced tariff's days, so that seasons match. "
        "Later corrections of a bill are left out on both sides.",
    ),
    definition("tariff_change.parcels", "At most 50 are shown. Sides and weights are those rated."),
)
