"""Stock of cartons: what has run out or will, what to order and when, what to count again, what stands in."""

from dashboards.review_tables import Records
from dashboards.sentences.entry import Rows, RowsOf, definition, kept, where
from dashboards.sentences.grounds import greatest, having, least, only_if
from models.carton_choice.order_words import (
    NOT_LATELY,
    NOT_USED,
    ORDER_LATER,
    ORDER_NOW,
    OUT,
    RECENT,
    RECOUNT,
    SEASON,
    SHORT,
)

ORDERS, SUBSTITUTES = "analysis.carton_orders", "analysis.carton_substitutes"
# Cartons of a kind that are named one by one.
MOST = 4


def in_state(state: str) -> RowsOf:
    """Cartons of that state of their order, the first MOST."""
    return having(ORDERS, "order_state", state, MOST)


def _out(is_dated: bool) -> RowsOf:
    return kept(in_state(OUT), lambda found: found["counted_on"].notna() == is_dated)


def _next(records: Records) -> Rows:
    """The order that is due first of those that are not due yet."""
    found = records.table(ORDERS)
    return least(found[(found["order_state"] == ORDER_LATER) & found["order_by_on"].notna()], "order_by_on")


def _basis(basis: str) -> RowsOf:
    return kept(stocked, lambda found: (found["use_basis"] == basis) & (found["order_state"] != NOT_USED), 1)


def _unnamed(records: Records) -> Rows:
    found = records.table(ORDERS)
    return greatest(found[found["unnamed_since_count"] > 0], "unnamed_since_count")


def stocked(records: Records) -> Rows:
    """Cartons whose stock is on record."""
    found = records.table(ORDERS)
    return found[found["on_hand"].notna()]


def _none_dated(records: Records) -> bool:
    found = stocked(records)
    return len(found) > 0 and bool(found["counted_on"].isna().all())


def _undated(records: Records) -> Rows:
    """Of cartons with a stock, those whose count has no day where others have one."""
    found = stocked(records)
    return only_if(not _none_dated(records), found[found["counted_on"].isna()]).head(MOST)


def _standing_in(is_dearer: bool) -> RowsOf:
    return kept(
        SUBSTITUTES, lambda found: found["substitute_code"].notna() & ((found["extra_cents"] >= 0) == is_dearer), MOST
    )


ENTRIES = (
    where(
        "stock.out",
        "{carton_code} has run out by the records: {on_hand} counted on {counted_on}, "
        "{packed_since_count} packed since.",
        _out(True),
    ),
    where(
        "stock.out_undated", "{carton_code} has run out by the catalogue, which names no day of the count.", _out(False)
    ),
    where(
        "stock.short",
        "{carton_code}: {stock_left} left, expected to last until {runs_out_on}; an order of {packed_to_on} takes "
        "{lead_time_days:day/days}.",
        in_state(SHORT),
    ),
    where(
        "stock.order_now",
        "Order {carton_code} now: {stock_left} left, reorder level {reorder_at_count}; {order_count:piece/pieces} for "
        "{order_cents}.",
        in_state(ORDER_NOW),
    ),
    where(
        "stock.count_again",
        "Count {carton_code} again: {on_hand} counted on {counted_on}, {packed_since_count} packed since.",
        in_state(RECOUNT),
    ),
    where(
        "stock.not_lately",
        "{carton_code} was last used on {last_used_on}, and {stock_left:piece is/pieces are} left. Chance seldom "
        "explains so long a pause: order it only if it will be used again.",
        in_state(NOT_LATELY),
    ),
    where("stock.next_order", "The next order is {carton_code}, expected on {order_by_on}.", _next),
    where(
        "stock.unnamed",
        "{unnamed_since_count:parcel has/parcels have} no carton on record since the count of {carton_code}: fewer "
        "cartons may be left than shown.",
        _unnamed,
    ),
    where(
        "stock.none_dated",
        "No count of cartons has a day: pieces in stock stand as the catalogue states them.",
        _none_dated,
    ),
    where(
        "stock.undated",
        "The count of {carton_code} has no day: its {on_hand:piece stands/pieces stand} as the catalogue states.",
        _undated,
    ),
    where(
        "stock.by_season",
        "Expected use: that of the last 13 weeks to {packed_to_on}, or since a carton came into use, changed as all "
        "parcels changed a year earlier.",
        _basis(SEASON),
    ),
    where(
        "stock.by_recent_weeks",
        "Expected use: that of the last weeks to {packed_to_on}, at most 13, or since a carton came into use; the "
        "records show no season of a year earlier.",
        _basis(RECENT),
    ),
    definition(
        "stock.means",
        "Pieces left are those counted less those packed since; deliveries since the count are not on record, so count "
        "again after each. The reorder level covers the use in the lead time and a reserve. Prices by quantity are "
        "those of the supplier's price list.",
    ),
    where(
        "stock.substitute",
        "{contents} ({packing_method}) without {carton_code}: {substitute_code} is next best, {extra_per_parcel_cents} "
        "more for each parcel.",
        _standing_in(True),
    ),
    where(
        "stock.substitute_cheaper",
        "{contents} ({packing_method}) without {carton_code}: {substitute_code} is best, "
        "{extra_per_parcel_cents:unsigned} less for each parcel.",
        _standing_in(False),
    ),
    where(
        "stock.no_substitute",
        "{contents} ({packing_method}) without {carton_code}: no other carton of the catalogue that has not run out is "
        "known to hold it and to be taken by the carrier.",
        kept(SUBSTITUTES, lambda found: found["substitute_code"].isna(), MOST),
    ),
    definition(
        "stock.substitutes_mean",
        "Parcels of the last 13 weeks, priced by the tariff of their day in other cartons at today's price, against "
        "carriage and carton as sent. Cartons that were never counted are taken to be there.",
    ),
)
