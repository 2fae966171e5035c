"""What the first screen says: the month in one line, how sure that is, and why."""

from dashboards.review_tables import Records
from dashboards.sentences.completed import PARCELS, WITH_SALES
from dashboards.sentences.entry import Rows, of_records, where
from dashboards.sentences.grounds import only_if
from dashboards.sentences.open_months import (
    are_limits_unknown,
    completed,
    expected_month,
    is_open,
    result,
    unpriced,
    with_limits,
)

CAUSES = "analysis.causes"


@of_records
def _of_kind(records: Records, kind: str, is_weight: bool | None = None) -> Rows:
    """The month's causes of a kind; of near misses those of weight, or the others."""
    found = records.month_rows(CAUSES)
    found = found[found["cause_kind"] == kind]
    return found if is_weight is None else found[(found["change"] == "weight") == is_weight]


def _billed_so_far(records: Records) -> Rows:
    """The month without limits of which more is to come, where it is known how much of its carriage is billed."""
    has_no_limits = is_open(records) and are_limits_unknown(records)
    return only_if(has_no_limits, completed(records)).dropna(subset=["billed_part"])


@of_records
def _so_far(records: Records, *, is_lost: bool) -> Rows:
    """The month's margin so far, where it may be known what its parcels cost."""
    return only_if(unpriced(records).empty, result(is_lost, False)(records))


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
        _so_far(is_lost=True),
    ),
    where(
        "front.made_so_far",
        "Shipping in {shipped_month} has paid for itself so far: {margin_cents} on {parcel_count:parcel/parcels}",
        _so_far(is_lost=False),
    ),
    where(
        "front.unpriced",
        "Shipping in {shipped_month} stands at {margin_cents} on {parcel_count:parcel/parcels}, without the carriage "
        "of {unbilled_count} of them: no bill of these is on record",
        unpriced,
    ),
    where(
        "front.interval",
        "{billed_part} of the carriage expected is billed; eight of ten such months end between "
        "{completed_low_cents} and {completed_high_cents}.",
        with_limits,
    ),
    where("front.billed_so_far", "{billed_part} of the carriage expected is billed.", _billed_so_far),
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
