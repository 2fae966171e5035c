"""What shipping made or lost, by kinds of parcels, and per parcel beside other months."""

from dashboards.review_tables import Records
from dashboards.sentences.entry import Rows, definition, kept, of_month, of_records, where
from dashboards.sentences.grounds import (
    COMPARISONS,
    FEWEST_OF_MONTH,
    MARGIN,
    covered,
    flagged,
    greatest,
    is_judged,
    least,
    named,
    only_if,
    parcels_of_month,
)
from dashboards.sentences.open_months import result
from models.money import MOSTLY_BILLED

ITEM_TYPES, SERVICES, ZONES = "marts.item_type_costs", "marts.margin_by_service", "marts.margin_by_zone"
WORST, YEAR = "marts.worst_parcels", "marts.margin_year"

_partly_billed = kept(covered, lambda rows: rows["charged_count"] < MOSTLY_BILLED * rows["parcel_count"])


def _alike(records: Records) -> Rows:
    """What the month may be compared with, where both have parcels enough."""
    rows = records.month_rows(COMPARISONS)
    rows = only_if(is_judged(records), rows[rows["compared_parcel_count"] >= FEWEST_OF_MONTH])
    return flagged(rows, "is_like_with_like")


def _is_no_cost_known(records: Records) -> bool:
    goods = _goods(records)
    return len(goods) > 0 and bool(goods["cost_per_piece_cents"].isna().all()) and _partly_billed(records).empty


def _of_few(records: Records) -> Rows:
    return only_if(not is_judged(records), parcels_of_month(records))


def _year(records: Records) -> Rows:
    """The year that ends with a month of few parcels, where it holds enough of them in more than this month."""
    year = records.month_rows(YEAR)
    is_long = year["from_month"] < year["shipped_month"]
    return only_if(len(_of_few(records)) > 0, year[is_long & (year["parcel_count"] >= FEWEST_OF_MONTH)])


def _goods(records: Records) -> Rows:
    rows = named(records.month_rows(ITEM_TYPES), "item_type")
    return rows[rows["parcel_count"] > 0]


def _most_expensive(records: Records) -> Rows:
    rows = _goods(records).dropna(subset=["cost_per_piece_cents"])
    return greatest(rows, "cost_per_piece_cents") if len(rows) > 1 else rows.iloc[:0]


@of_records
def _extreme(records: Records, table: str, is_lost: bool, *columns: str) -> Rows:
    """The group with the least margin, of several groups."""
    groups = named(records.month_rows(table), *columns)
    groups = groups[groups["parcel_count"] > 0]
    found = least(groups, "margin_cents") if len(groups) > 1 else groups.iloc[:0]
    return found[(found["margin_cents"] < 0) == is_lost]


ENTRIES = (
    where(
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
    where(
        "margin.no_parcels",
        "No parcel on record is counted in {:month}.",
        lambda records: records.has(MARGIN) and parcels_of_month(records).empty,
    ),
    where(
        "margin.fees_only",
        "Carriers billed {billed_cents} in fees that name no parcel.",
        kept(of_month(MARGIN), lambda month: (month["parcel_count"] == 0) & (month["billed_cents"] > 0)),
    ),
    where(
        "margin.month_lost",
        "In {shipped_month} shipping lost money: {margin_cents} on {parcel_count:parcel/parcels}.",
        result(True, True),
    ),
    where(
        "margin.month_made",
        "In {shipped_month} shipping paid for itself: {margin_cents} on {parcel_count:parcel/parcels}.",
        result(False, True),
    ),
    where(
        "margin.month_lost_so_far",
        "On the records so far, shipping in {shipped_month} lost money: {margin_cents} on "
        "{parcel_count:parcel/parcels}.",
        result(True, False),
    ),
    where(
        "margin.month_made_so_far",
        "The records of {shipped_month} are not complete: {margin_cents} so far on {parcel_count:parcel/parcels}.",
        result(False, False),
    ),
    where(
        "margin.few_parcels",
        "In {shipped_month} {parcel_count:parcel is/parcels are} counted, too few to judge a month by: "
        "{margin_cents} on the records so far.",
        _of_few,
    ),
    where("margin.year", "From {from_month} to {shipped_month}: {margin_cents} on {parcel_count} parcels.", _year),
    where(
        "margin.partly_billed",
        "Only {charged_count} of {parcel_count:parcel/parcels} have a bill so far. The costs here are those on record, "
        "so margins look better than they are, and no mean is shown.",
        _partly_billed,
    ),
    where(
        "item_type.most_expensive",
        "Most expensive per piece: {item_type}, at {cost_per_piece_cents} over {piece_count:piece/pieces}.",
        _most_expensive,
    ),
    where("item_type.cost_not_known", "No item type's cost per piece is known.", _is_no_cost_known),
    where(
        "item_type.lost_most",
        "Largest loss: {item_type}, {margin_cents} on {parcel_count:parcel/parcels}.",
        _extreme(ITEM_TYPES, True, "item_type"),
    ),
    where(
        "item_type.made_least",
        "Smallest profit: {item_type}, {margin_cents} on {parcel_count:parcel/parcels}.",
        _extreme(ITEM_TYPES, False, "item_type"),
    ),
    where(
        "margin.service_lost_most",
        "Largest loss by service: {carrier} {service}, {margin_cents} on {parcel_count:parcel/parcels}.",
        _extreme(SERVICES, True, "carrier", "service"),
    ),
    where(
        "margin.service_made_least",
        "Smallest profit by service: {carrier} {service}, {margin_cents} on {parcel_count:parcel/parcels}.",
        _extreme(SERVICES, False, "carrier", "service"),
    ),
    where(
        "margin.zone_lost_most",
        "Largest loss by zone: {carrier} zone {zone}, {margin_cents} on {parcel_count:parcel/parcels}.",
        _extreme(ZONES, True, "carrier", "zone"),
    ),
    where(
        "margin.zone_made_least",
        "Smallest profit by zone: {carrier} zone {zone}, {margin_cents} on {parcel_count:parcel/parcels}.",
        _extreme(ZONES, False, "carrier", "zone"),
    ),
    where(
        "margin.how_to_read_months",
        "Above: what buyers paid for shipping and what carriers billed. Below: what was left after all costs on "
        "record.",
        lambda records: len(records.table(MARGIN)) > 0,
    ),
    where(
        "margin.how_to_read_parcels",
        "The parcels with the lowest margin, the worst first. Look first at a surcharge, an adjustment or a claim that "
        "stands out.",
        lambda records: len(records.month_rows(WORST)) > 0,
    ),
    definition("margin.means", "Left over = came in, less what carriers billed, less other costs."),
    definition(
        "margin.surcharges_are_billed",
        "Surcharges and adjustments are part of what carriers billed. A parcel with several kinds of goods counts with "
        "each of them, and its costs are shared among them.",
    ),
    where(
        "margin.account_row",
        "The row “account” holds carriers' fees that name no parcel.",
        lambda records: bool((records.month_rows(ITEM_TYPES)["item_type"] == "account").any()),
    ),
    definition(
        "margin.band",
        "The band holds eight of ten months that are like the twelve before them; a month outside it is marked. It "
        "knows no season.",
    ),
    definition("margin.bins", "The lowest and the highest row hold all parcels farther out, too."),
    definition(
        "margin.groups",
        "A parcel counts with its own channel, service and zone. Account fees name none and stand apart.",
    ),
)
