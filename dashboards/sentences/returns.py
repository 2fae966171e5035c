"""Sentences on goods that came back undamaged."""

from dashboards.review_tables import Records
from dashboards.sentences.entry import Rows, definition, of_rows, where
from dashboards.sentences.grounds import MARGIN, are_there, only_if, parcels_of_month

RETURNS = "marts.returns"


def _with_returns(records: Records) -> Rows:
    """The month's margin, where a return of its parcels is on record."""
    return only_if(len(records.month_rows(RETURNS)) > 0, parcels_of_month(records))


def _unsold(records: Records) -> Rows:
    """The return that is longest unsold."""
    rows = records.month_rows(RETURNS)
    return rows[rows["resold_on"].isna()].sort_values("days_unsold", ascending=False).head(1)


def _none(records: Records) -> bool:
    is_known = are_there(records, "returns") and records.has(RETURNS)
    return is_known and len(parcels_of_month(records)) > 0 and records.month_rows(RETURNS).empty


ENTRIES = (
    of_rows(
        MARGIN,
        "returns.month",
        "Goods of {:month} that came back undamaged cost {return_carriage_cents} for the way back and lost "
        "{depreciation_cents} of their worth.",
        _with_returns,
    ),
    of_rows(
        RETURNS,
        "returns.unsold",
        "{item_type} ({return_id}) is not sold again {days_unsold:day/days} after it was shipped.",
        _unsold,
    ),
    where("returns.none", "No return of the month's parcels is on record.", _none),
    definition(
        "returns.means",
        "A way back that an invoice bills under its own label is in that invoice, and in no sum of returns. Goods that "
        "are not sold again count until the records end.",
    ),
)
