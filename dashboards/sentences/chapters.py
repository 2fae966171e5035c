"""What each chapter of the page found: its heading. Each is true under its condition, else the heading is the topic."""

from dashboards.review_tables import Records
from dashboards.sentences.cartons import cut_down, none_judged
from dashboards.sentences.entry import Rows, RowsOf, kept, of_records, where
from dashboards.sentences.grounds import (
    FEWEST,
    covered,
    flagged,
    gap,
    greatest,
    is_each_sale_sent,
    is_judged,
    least,
    named,
    only_if,
    parcels_of_month,
)
from dashboards.sentences.margin import ITEM_TYPES
from dashboards.sentences.missing import without_tariff
from dashboards.sentences.surcharges import TOTALS

RATES, CLAIMED = "analysis.damage_rates", "marts.damage_year"
# Fewer claims are chance, not a way of packing (common practice, no source).
FEWEST_CLAIMS = 3


def _item_types(records: Records) -> Rows:
    """The month's item types with parcels, where there are several and parcels enough for a verdict."""
    rows = named(records.month_rows(ITEM_TYPES), "item_type")
    rows = rows[rows["parcel_count"] > 0]
    return only_if(is_judged(records) and len(rows) > 1, rows)


def _lost_most(records: Records) -> Rows:
    rows = least(_item_types(records), "margin_cents")
    return rows[rows["margin_cents"] < 0]


def _all_paid(records: Records) -> Rows:
    rows = _item_types(records)
    is_paid = len(rows) > 0 and bool((rows["margin_cents"] >= 0).all())
    return only_if(is_paid, least(rows, "margin_cents"))


@of_records
def _near(records: Records, is_weight: bool) -> Rows:
    """The month's greatest near miss, where it cost more than one parcel's odd bill."""
    found = greatest(records.month_rows(TOTALS), "spared_cents")
    found = found[(found["spared_cents"] > 0) & (found["parcel_count"] > 1)]
    return found[(found["change"] == "weight") == is_weight]


def _surcharged(*, is_taxed: bool) -> RowsOf:
    """The month with surcharges. is_taxed: whether tax is among what was billed."""
    return kept(
        parcels_of_month,
        lambda rows: (
            (rows["surcharge_cents"] > 0) & (rows["billed_cents"] > 0) & ((rows["tax_cents"] != 0) == is_taxed)
        ),
    )


@of_records
def _highest_rate(records: Records, is_packing_known: bool) -> Rows:
    """The highest rate that the records bear out. is_packing_known: of item types and methods; else where no record
    says how anything was packed."""
    rates = named(flagged(records.table(RATES), "-is_too_few"), "item_type")
    packed = named(rates, "packing_method")
    found = packed if is_packing_known else only_if(packed.empty, rates)
    found = found[(found["parcel_count"] >= FEWEST) & (found["claim_count"] >= FEWEST_CLAIMS)]
    return greatest(found, "damage_rate")


def _most_claims(records: Records) -> Rows:
    rows = named(records.month_rows(CLAIMED), "item_type", "packing_method")
    return greatest(rows[rows["damage_count"] >= FEWEST_CLAIMS], "damage_count")


def _knows_by_bills_only(records: Records) -> bool:
    """Whether parcels are known by their bills alone: of these each has one, whatever is missing."""
    rows = covered(records)
    is_billed = bool((rows["charged_count"] == rows["parcel_count"]).all())
    is_logged = rows["benched_parcel_count"].sum() > 0 and not rows["dated_by_invoice_count"].sum()
    return is_billed and not is_logged and not is_each_sale_sent(records)


def _unsent(records: Records) -> Rows:
    """Where no bench log counts the parcels, the sales do, as far as any of them is tied to a parcel."""
    rows = only_if(_knows_by_bills_only(records), gap(records, "sales without a parcel"))
    return rows[rows["missing_count"] < rows["due_count"]]


ENTRIES = (
    where(
        "chapter.item_type_lost_most",
        "{item_type} lost {margin_cents:unsigned} on {parcel_count:parcel/parcels}, the most of all item types",
        _lost_most,
    ),
    where(
        "chapter.every_item_type_paid",
        "Every item type paid for its shipping; {item_type} made least, {margin_cents}",
        _all_paid,
    ),
    where("chapter.near_side", "{change_in} on the {change} of carton {carton_code} cost {spared_cents}", _near(False)),
    where("chapter.near_weight", "{change_lb} of weight in carton {carton_code} cost {spared_cents}", _near(True)),
    where(
        "chapter.surcharges", "Surcharges were {surcharge_cents} of {billed_cents} billed", _surcharged(is_taxed=False)
    ),
    where(
        "chapter.surcharges_taxed",
        "Surcharges were {surcharge_cents} of {billed_cents} billed, which includes {tax_cents} of tax",
        _surcharged(is_taxed=True),
    ),
    where(
        "chapter.damage_highest",
        "{item_type} packed with {packing_method} had the highest damage rate of those with enough claims to judge, "
        "{damage_rate} ({claim_count} of {parcel_count:parcel/parcels} so far)",
        _highest_rate(True),
    ),
    where(
        "chapter.damage_highest_item",
        "{item_type} had the highest damage rate of those with enough claims to judge, {damage_rate} ({claim_count} of "
        "{parcel_count:parcel/parcels} so far)",
        _highest_rate(False),
    ),
    where(
        "chapter.damage_claims",
        "{item_type} packed with {packing_method} had the most damage claims within a year, {damage_count} on "
        "{parcel_count:parcel/parcels}",
        _most_claims,
    ),
    where(
        "chapter.cartons_saving",
        "Other cartons from stock, some cut down, would have saved {saving_cents}",
        cut_down(True),
    ),
    where("chapter.cartons_no_saving", "No other carton from stock would have cost less", cut_down(False)),
    where(
        "chapter.cartons_unpriced",
        "Cartons cost {carton_cents}; without a price list it is not known what others would have cost",
        kept(without_tariff, lambda rows: rows["carton_cents"] > 0),
    ),
    where(
        "chapter.cartons_not_judged",
        "Cartons cost {carton_cents}; no parcel has both a price by a tariff and goods of known size",
        lambda records: only_if(
            none_judged(records), kept(parcels_of_month, lambda rows: rows["carton_cents"] > 0)(records)
        ),
    ),
    where(
        "chapter.billed",
        "{charged_count} of {parcel_count:parcel is/parcels are} billed so far",
        lambda records: only_if(not _knows_by_bills_only(records), covered(records)),
    ),
    where(
        "chapter.unsent", "{missing_count} of {due_count:sale line has/sale lines have} no parcel on record", _unsent
    ),
)
