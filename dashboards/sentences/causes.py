"""What the first screen says: the month in one line, how sure that is, and why."""

from dashboards.review_tables import Records
from dashboards.sentences.completed import PARCELS, WITH_SALES
from dashboards.sentences.entry import Rows, of_records, where
from dashboards.sentences.grounds import only_if
from dashboards.sentences.open_months import are_lags_unknown, completed, expected_month, is_open, result, with_limits

CAUSES = "analysis.causes"


@of_records
def _of_kind(records: Records, kind: str, is_weight: bool | None = None) -> Rows:
    """The month's causes of a kind; of near misses those of weight, or the others."""
    found = records.month_rows(CAUSES)
    found = found[found["cause_kind"] == kind]
    return found if is_weight is None else found[(found["change"] == "weight") == is_weight]


ENTRIES = (
    *(
        where(
            f"front.{id}",
            f"Shipping in {{shipped_month}} is expected to {makes} {{completed_margin_cents:unsigned}} on {parcels}",
            expected_month(is_lost=makes == "lose", has_sales=parcels == WITH_SALES),
        )
        for id, makes, parcels in (
            ("lost_expected", "lose", PARCELS),
            ("made_expected", "make", PARCELS),
            ("lost_with_sales", "lose", WITH_SALES),
            ("made_with_sales", "make", WITH_SALES),
        )
    ),
    where(
        "front.lost",
        "Shipping in {shipped_month} lost money: {margin_cents} on {parcel_count:parcel/parcels}",
        result(True, True),
    ),
    where(
        "front.made",
        "Shipping in {shipped_month} paid for itself: {margin_cents} on {parcel_count:parcel/parcels}",
        result(False, True),
    ),
    where(
        "front.lost_so_far",
        "Shipping in {shipped_month} has lost money so far: {margin_cents} on {parcel_count:parcel/parcels}",
        result(True, False),
    ),
    where(
        "front.made_so_far",
        "Shipping in {shipped_month} has paid for itself so far: {margin_cents} on {parcel_count:parcel/parcels}",
        result(False, False),
    ),
    where(
        "front.interval",
        "{billed_part} of the carriage expected is billed; eight of ten such months end between "
        "{completed_low_cents} and {completed_high_cents}.",
        with_limits,
    ),
    where(
        "front.billed_so_far",
        "{billed_part} of the carriage expected is billed.",
        lambda records: only_if(is_open(records) and are_lags_unknown(records), completed(records)),
    ),
    where(
        "cause.near_side",
        "{change_in} on the {change} of carton {carton_code}: {charge_name} on {parcel_count:parcel/parcels} "
        "({item_type})",
        _of_kind("near miss", False),
    ),
    where(
        "cause.near_weight",
        "{change_lb} of weight in carton {carton_code}: {charge_name} on {parcel_count:parcel/parcels} ({item_type})",
        _of_kind("near miss", True),
    ),
    where(
        "cause.damage",
        "Damage to {item_type} packed with {packing_method}: {damage_count:claim/claims} on "
        "{parcel_count:parcel/parcels}",
        _of_kind("damage"),
    ),
    where(
        "cause.billing_errors",
        "{dispute_count:overcharge/overcharges} by {carrier}, not credited yet",
        _of_kind("billing errors"),
    ),
    where("cause.item_type", "{item_type} lost money: {parcel_count:parcel/parcels}", _of_kind("item type")),
    where("cause.service", "{carrier} {service} lost money: {parcel_count:parcel/parcels}", _of_kind("service")),
)
