"""Which record the shop does not keep would tell what, with the money that it would bring to light."""

from dashboards.formats import UNNAMED
from dashboards.review_tables import Records
from dashboards.sentences.entry import Entry, Rows, of_records, where
from dashboards.sentences.grounds import CHECKS, are_absent, covered, only_if, parcels_of_month


@of_records
def _without(records: Records, kind: str) -> Rows:
    """The month's parcels, where no record of the kind was ever imported."""
    return only_if(are_absent(records, kind), parcels_of_month(records))


def without_tariff(records: Records) -> Rows:
    """The month's parcels, where bills are on record and none could ever be checked against a price list."""
    checks = records.table(CHECKS)
    is_unchecked = checks["charged_count"].sum() > 0 and not checks["checked_parcel_count"].sum()
    return only_if(bool(is_unchecked), parcels_of_month(records))


def _without_item_type(records: Records) -> Rows:
    """The month's parcels of no known item type, where the sale of some of them is known."""
    rows = records.month_rows(ITEM_TYPES)
    rows = rows[rows["item_type"] == UNNAMED]
    unsold = (covered(records)["parcel_count"] - covered(records)["sold_parcel_count"]).sum()
    return rows[rows["parcel_count"] > unsold]


def _taxed(records: Records) -> Rows:
    """The month, where tax that carriers charged is a cost and no price list says whether the shop gets it back."""
    rows = without_tariff(records)
    return rows[rows["tax_cents"] + rows["tax_reclaimed_cents"] > 0]


def _owing(records: Records) -> Rows:
    """The month, where the shop gets tax on carriage back and none that it owes on shipping is on record."""
    rows = parcels_of_month(records)
    rows = rows[(rows["tax_reclaimed_cents"] < 0) & (rows["shipping_charged_cents"] > 0)]
    return only_if(not records.table("marts.sale_states")["shipping_tax_cents"].sum(), rows)


def _absent(kind: str, text: str) -> Entry:
    return where(f"missing.{kind}", text, _without(kind))


ITEM_TYPES = "marts.item_type_costs"
ENTRIES = (
    where(
        "missing.tariff",
        "The carriers' price lists, as tariffs: of the {billed_cents} billed for {shipped_month}, what was billed "
        "wrongly and can be disputed, which surcharges a little less length or weight would have avoided, and what "
        "other cartons would have cost. Without them no bill could be checked.",
        without_tariff,
    ),
    where(
        "missing.tax",
        "Whether the shop gets tax on carriage back: {tax_cents} of the {billed_cents} billed count as a cost. Where "
        "it does, write `tax_reclaimed = true` under [shop] in dunnage.toml.",
        _taxed,
    ),
    where(
        "missing.sales_tax",
        "Whether sales tax is within the {shipping_charged_cents} that buyers paid for shipping: tax on carriage "
        "counts as given back, but none that the shop owes of its own is on record. Where a column of the sales states "
        "it, map that as shipping_tax_cents; else write its share as `shipping_tax_share = 0.2` under [shop] in "
        "dunnage.toml. It is then taken out of what buyers paid.",
        _owing,
    ),
    where(
        "missing.goods",
        "Which goods were sold: of {parcel_count:parcel/parcels} of {shipped_month} the item type is not known, so no "
        "margin, charge or packing method is known by it. `dunnage map FILE --as skus` takes a list of stock numbers "
        "and item types, `dunnage titles` makes item types of titles.",
        _without_item_type,
    ),
    _absent(
        "charges",
        "The carriers' invoices: what carriage and surcharges cost, against the {shipping_charged_cents} that buyers "
        "paid for shipping in {shipped_month}. Without them there is no margin.",
    ),
    _absent(
        "sales",
        "Sales: what buyers paid towards the {billed_cents} billed for {shipped_month}, and for which goods. Without "
        "them there is no margin.",
    ),
    _absent(
        "claims",
        "Claims: what damage and loss cost on the {parcel_count:parcel/parcels} of {shipped_month}, and which packing "
        "method breaks less. The margin of {margin_cents} counts no damage.",
    ),
    _absent(
        "weights",
        "A bench log: which parcels no carrier has billed yet, and which part of the {billed_cents} billed goes to "
        "which carton and packing method. The margin of {margin_cents} counts no carton, no material and no work.",
    ),
    _absent(
        "cartons",
        "A carton catalogue: what cartons cost, and which other carton would lower the {billed_cents} billed for "
        "{shipped_month}. The margin counts no carton.",
    ),
    _absent(
        "packing_methods",
        "Packing methods with their cost: what material costs on {parcel_count:parcel/parcels} a month, and which "
        "method pays. The margin counts no material.",
    ),
    _absent(
        "item_types",
        "Item types with their sides and weight: which carton the goods need, so which part of the {billed_cents} "
        "billed went for air.",
    ),
    _absent(
        "returns",
        "Returns of undamaged goods: what ways back and depreciation cost on the {parcel_count:parcel/parcels} of "
        "{shipped_month}. The margin of {margin_cents} counts none.",
    ),
    _absent(
        "labels",
        "The label history: which labels were paid and never used, and how far the {billed_cents} billed lies from "
        "what was quoted.",
    ),
)
