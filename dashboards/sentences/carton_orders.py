"""Orders of cartons that last longer than a year, and stock that nobody uses."""

from dashboards.review_tables import Records
from dashboards.sentences.carton_stock import MOST, ORDERS, in_state
from dashboards.sentences.entry import Rows, RowsOf, kept, of_records, where
from models.carton_choice.order_words import (
    LONG_MONTHS,
    NO_LEAD_TIME,
    NO_USE,
    NOT_PAYING,
    ORDER_LATER,
    ORDER_NOW,
    OUT,
    SHORT,
)

ADVICE = "analysis.purchase_advice"
# States in which an order is spoken of.
ORDERED = (OUT, NO_LEAD_TIME, SHORT, ORDER_NOW, ORDER_LATER, NOT_PAYING)


@of_records
def _long(records: Records, is_kept: bool | None = None) -> Rows:
    """Orders that last longer than a year; is_kept: whether what keeping them costs is stated."""
    found = records.table(ORDERS)
    found = found[found["order_state"].isin(ORDERED) & (found["order_months"] > LONG_MONTHS)]
    return (found if is_kept is None else found[found["order_keep_cents"].notna() == is_kept]).head(MOST)


def _called_off(is_never: bool) -> RowsOf:
    return kept(
        in_state(NOT_PAYING),
        lambda found: (found["order_pays_months"].isna() == is_never) & (found["order_extra_cents"] >= 0),
    )


ENTRIES = (
    where(
        "stock.order_never",
        "Do not order {carton_code}, use the next best carton: {order_count:piece/pieces} for {order_cents} would last "
        "{order_months} months and never pay against {order_extra_cents} more for each parcel there.",
        _called_off(True),
    ),
    where(
        "stock.order_too_late",
        "Do not order {carton_code}, use the next best carton: {order_count:piece/pieces} for {order_cents} would pay "
        "only after {order_pays_months} months against {order_extra_cents} more for each parcel there.",
        _called_off(False),
    ),
    where(
        "stock.order_dearer",
        "Do not order {carton_code}: {order_count:piece/pieces} for {order_cents} would last {order_months} months, "
        "and each parcel costs {order_extra_cents:unsigned} less in the next best carton.",
        kept(in_state(NOT_PAYING), lambda found: found["order_extra_cents"] < 0),
    ),
    where(
        "stock.order_long",
        "The order of {carton_code}, {order_count:piece/pieces}, would last {order_months} months at the use expected.",
        _long(),
    ),
    where(
        "stock.order_kept",
        "Storage and interest of the order of {carton_code} come to {order_keep_cents} until its last piece is used.",
        _long(True),
    ),
    where(
        "stock.order_unstated",
        "What it costs to keep the order of {carton_code} is not counted: neither storage nor interest is stated.",
        _long(False),
    ),
    where(
        "stock.order_pays",
        "The order of {carton_code} pays after {order_pays_months} months: the next best carton would cost "
        "{order_extra_cents} more for each parcel.",
        kept(_long(), lambda found: found["is_order_paying"].fillna(False).astype(bool)),
    ),
    where(
        "stock.no_use",
        "{size_code}: none of the parcels that the sizes were chosen on would cost least in it. Its "
        "{stock_left:piece/pieces} cost {leftover_cents} and would be left over after a year: do not buy it again, and "
        "use it up where it costs no more.",
        kept(ADVICE, lambda rows: (rows["advice"] == NO_USE) & (rows["stock_left"] > 0), MOST),
    ),
)
