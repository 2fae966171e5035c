"""Contracts of the comparison with other services and carriers: parcels rated on them, and what they would save."""

from models.contracts import Contract, contract
from models.provenance import MadeFrom, itself

_COMPARED = MadeFrom("analysis.compared_parcels", "", amount="b.expected_cents", is_among=True)

COMPARED_PARCELS = contract(
    "analysis.compared_parcels",
    "parcel_id | parcel_number zone? expected_cents? not_compared?",
    "One row per parcel of the months judged: what its tariff expects, or why it is compared with no other service.",
    made_from=itself("expected_cents"),
)
# Without the label's number, which three rows of four would repeat: at a million parcels that is a tenth of the time.
PARCEL_SERVICES = contract(
    "analysis.parcel_services",
    "parcel_number other_service_key | other_cents? learned_within_cents? saving_cents? not_compared?",
    "One row per parcel that may be compared, by its number there, and other service of a tariff of its day: what that "
    "tariff expects, or why they are not compared.",
    made_from=MadeFrom("analysis.compared_parcels", "parcel_number", amount="b.expected_cents"),
)

SERVICES: tuple[Contract, ...] = (
    COMPARED_PARCELS,
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
