"""Cases of the sentences on records that a shop does not keep, and on months of few parcels."""

from __future__ import annotations

from tests.dashboards.sentences.bridge_cases import STEPS
from tests.dashboards.sentences.cases import BEFORE, Case, Tables, coverage, margin, one_month, row, rows, states
from tests.dashboards.sentences.margin_cases import EQUAL

CHECKS, MARGIN, YEAR = "marts.billing_checks", "marts.shipping_margin", "marts.margin_year"
GOODS = "marts.item_type_costs"
UNCHECKED = row(CHECKS, charged_count=9, checked_parcel_count=0)
CHECKED_BEFORE = rows(CHECKS, {"shipped_month": BEFORE}, {"charged_count": 9, "checked_parcel_count": 0})
NO_BILL = row(CHECKS, charged_count=0, checked_parcel_count=0)


def _absent(kind: str, says: str) -> Case:
    """Told of a month with parcels where the kind was never imported, and of no other kind."""
    other = "claims" if kind != "claims" else "labels"
    hides = ({**one_month(), **states(**{kind: 1})}, {**one_month(), **states(**{other: 0})}, one_month())
    return Case({**one_month(), **states(**{kind: 0})}, (*hides, states(**{kind: 0})), says)


def _year(parcels: int, month: Tables) -> Tables:
    return {**month, **row(YEAR, from_month=BEFORE, parcel_count=parcels, margin_cents=-900)}


def _pair(now: int, before: int) -> Tables:
    months = ({**margin(-9, before), "shipped_month": BEFORE}, margin(-10, now))
    return {**EQUAL, **rows(MARGIN, *months)}


def _sold(parcels: int) -> Tables:
    return row("marts.coverage", **coverage(sold_parcel_count=parcels))


def _owed(cents: int) -> Tables:
    return row("marts.sale_states", sold_month=BEFORE, sale_state="sold", shipping_tax_cents=cents)


CASES: dict[str, Case] = {
    "missing.tariff": Case(
        {**one_month(), **UNCHECKED},
        ({**one_month(), **CHECKED_BEFORE}, {**one_month(), **NO_BILL}, UNCHECKED, one_month()),
        "of the $800.00 billed for March 2027",
    ),
    "missing.tax": Case(
        {**row(MARGIN, **margin(-500), tax_cents=900, tax_reclaimed_cents=0), **UNCHECKED},
        (
            {**row(MARGIN, **margin(-500), tax_cents=0, tax_reclaimed_cents=0), **UNCHECKED},
            {**row(MARGIN, **margin(-500), tax_cents=900, tax_reclaimed_cents=-900), **UNCHECKED},
            {**row(MARGIN, **margin(-500), tax_cents=900, tax_reclaimed_cents=0), **CHECKED_BEFORE},
        ),
        "$9.00 of the $800.00 billed count as a cost",
    ),
    "missing.sales_tax": Case(
        {**row(MARGIN, **margin(-500), tax_reclaimed_cents=-900), **_owed(0)},
        (
            {**row(MARGIN, **margin(-500), tax_reclaimed_cents=0), **_owed(0)},
            {**row(MARGIN, **margin(-500), tax_reclaimed_cents=-900), **_owed(300)},
            {**row(MARGIN, **{**margin(-500), "shipping_charged_cents": 0}, tax_reclaimed_cents=-900), **_owed(0)},
        ),
        "but none that the shop owes of its own is on record.",
    ),
    "missing.goods": Case(
        {**row(GOODS, item_type="unknown", parcel_count=70), **_sold(75)},
        (
            {**row(GOODS, item_type="unknown", parcel_count=70), **_sold(10)},
            {**row(GOODS, item_type="tripod", parcel_count=70), **_sold(75)},
            row(GOODS, item_type="unknown", parcel_count=0),
        ),
        "of 70 parcels of March 2027 the item type is not known",
    ),
    "missing.charges": _absent("charges", "Without them there is no margin."),
    "missing.sales": _absent("sales", "towards the $800.00 billed for March 2027"),
    "missing.claims": _absent("claims", "The margin of -$5.00 counts no damage."),
    "missing.weights": _absent("weights", "The margin of -$5.00 counts no carton"),
    "missing.cartons": _absent("cartons", "would lower the $800.00 billed"),
    "missing.packing_methods": _absent("packing_methods", "what material costs on 80 parcels a month"),
    "missing.item_types": _absent("item_types", "which carton the goods need"),
    "missing.returns": _absent("returns", "The margin of -$5.00 counts none."),
    "missing.labels": _absent("labels", "which labels were paid and never used"),
    "margin.few_parcels": Case(
        one_month(parcels=29), (one_month(parcels=30), {}), "In March 2027 29 parcels are counted, too few"
    ),
    "margin.year": Case(
        _year(30, one_month(parcels=29)),
        (_year(29, one_month(parcels=29)), _year(30, one_month(parcels=30)), row(YEAR)),
        "From February 2027 to March 2027: -$9.00 on 30 parcels.",
    ),
    "bridge.few": Case(
        _pair(29, 80), ({**EQUAL, **STEPS}, one_month(parcels=29)), "At least one of the two months has too few parcels"
    ),
}
