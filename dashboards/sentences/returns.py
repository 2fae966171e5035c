"""Sentences on goods that came back undamaged."""

from dashboards.review_tables import Records
from dashboards.sentences.entry import Rows, definition, of_records, where
from dashboards.sentences.grounds import are_there, only_if, parcels_of_month

RETURNS = "marts.returns"


@of_records
def _cost(records: Records, *, has_carriage: bool, has_loss: bool) -> Rows:
    """The month's margin, where a return of its parcels is on record; by what the records say that returns cost."""
    month = only_if(len(records.month_rows(RETURNS)) > 0, parcels_of_month(records))
    known = month[["return_carriage_cents", "depreciation_cents"]].fillna(0) > 0
    return month[(known["return_carriage_cents"] == has_carriage) & (known["depreciation_cents"] == has_loss)]


def _unsold(records: Records) -> Rows:
    """The return that is longest unsold, where the shop writes down such sales."""
    rows = records.month_rows(RETURNS)
    return (
        rows[rows["resold_on"].isna() & rows["days_unsold"].notna()].sort_values("days_unsold", ascending=False).head(1)
    )


def _none(records: Records) -> bool:
    is_known = are_there(records, "returns") and records.has(RETURNS)
    return is_known and len(parcels_of_month(records)) > 0 and records.month_rows(RETURNS).empty


ENTRIES = (
    where(
        "returns.month",
        "Goods of {:month} that came back undamaged cost {return_carriage_cents} for the way back and lost "
        "{depreciation_cents} of their worth.",
        _cost(has_carriage=True, has_loss=True),
    ),
    where(
        "returns.way_back",
        "Goods of {:month} that came back undamaged cost {return_carriage_cents} for the way back; no loss of their "
        "worth is on record.",
        _cost(has_carriage=True, has_loss=False),
    ),
    where(
        "returns.worth",
        "Goods of {:month} that came back undamaged lost {depreciation_cents} of their worth; no cost of the way back "
        "is on record.",
        _cost(has_carriage=False, has_loss=True),
    ),
    where(
        "returns.no_cost", "What returns of {:month} cost is not on record.", _cost(has_carriage=False, has_loss=False)
    ),
    where(
        "returns.unsold",
        "No record has {item_type} ({return_id}) sold again, {days_unsold:day/days} after it was shipped.",
        _unsold,
    ),
    where("returns.none", "No return of the month's parcels is on record.", _none),
    definition(
        "returns.means",
        "A way back that an invoice bills under its own label is in that invoice, and in no sum of returns. Goods that "
        "are not sold again count until the records end.",
    ),
)
