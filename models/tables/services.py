"""Contracts of the comparison with other services and carriers: parcels rated on them, and what they would save."""

from models.contracts import Contract, contract
from models.provenance import MadeFrom, itself

_COMPARED = MadeFrom("analysis.parcel_services", "", amount="b.expected_cents", is_among=True)

PARCEL_SERVICES = contract(
    "analysis.parcel_services",
    "parcel_id other_service_key? | zone? expected_cents? other_cents? learned_within_cents? saving_cents? "
    "not_compared?",
    "One row per parcel of the months judged and other service of a tariff of its day, or per parcel where none can "
    "be compared: what both tariffs expect, or why they are not compared.",
    made_from=itself("expected_cents"),
)

SERVICES: tuple[Contract, ...] = (
    PARCEL_SERVICES,
    contract(
        "analysis.service_totals",
        "parcel_count | compared_elsewhere_count better_parcel_count saving_cents",
        "One row: parcels of the months judged, those compared, and those that another service would take for less.",
        made_from=_COMPARED,
    ),
    contract(
        "analysis.service_coverage",
        "other_carrier? other_service? not_compared? | parcel_count",
        "One row per other service and reason, or none: parcels compared with it, and why others were not.",
        made_from=MadeFrom("service_coverage_parcels", amount="b.amount_cents"),
    ),
    contract(
        "analysis.service_rules",
        "item_type carrier service zone_low? other_carrier other_service | zone_high? parcels_per_month parcel_count "
        "expected_cents other_cents saving_cents billed_parcel_count billed_cents held_out_parcel_count week_count "
        "more_damage_cents saving_per_parcel_cents? saving_low_cents? saving_high_cents? sure_saving_cents? "
        "learned_within_cents service_month_cents is_advised",
        "One row per item type, service used, zones in a row and service that would have taken the parcels for less "
        "in the months chosen on: what it saves, of the last twelve months, and in the months held out.",
        made_from=MadeFrom(
            "service_rule_parcels",
            "item_type carrier service zone_low other_carrier other_service",
            sums="expected_cents",
            amount="b.amount_cents",
        ),
    ),
)
