"""Contracts of zones: those that bills teach, and those that contradict a tariff's zone chart."""

from __future__ import annotations

from models.contracts import Contract, contract
from models.made_from import MadeFrom

_LANE = "carrier service ships_from"

ZONES: tuple[Contract, ...] = (
    contract(
        "core.billed_zone_counts",
        "One row per month of shipping, carrier, service, origin, destination, zone by the chart and zone as billed.",
        f"shipped_month {_LANE} destination_code chart_prefix charted_zone zone",
        f"shipped_month {_LANE} destination_code chart_prefix? charted_zone? zone parcel_count",
    ),
    contract(
        "core.learned_zones",
        "One row per carrier, service, origin and beginning of postal codes: the zone that most bills state.",
        f"{_LANE} destination_prefix",
        f"{_LANE} destination_prefix zone zone_bill_count agreeing_count agreeing_share is_decided is_certain",
    ),
    contract(
        "core.parcel_zones",
        "One row per parcel whose zone is not on record: the zone that the chart or bills give.",
        "parcel_id",
        "parcel_id ships_from zone_source zone? learned_prefix? is_certain",
    ),
    contract(
        "marts.zone_sources",
        "One row per month of shipping, carrier and source: parcels whose zone is not on record.",
        "shipped_month carrier zone_source",
        "shipped_month carrier zone_source parcel_count",
        made_from=MadeFrom("core.parcel_zones"),
    ),
    contract(
        "marts.zones_against_chart",
        "One row per carrier, service, origin, entry of the zone chart and other zone that bills state.",
        f"{_LANE} chart_prefix zone",
        f"{_LANE} chart_prefix charted_zone zone parcel_count bill_count other_share",
        made_from=MadeFrom("core.billed_parcels", "carrier service zone", is_among=True),
    ),
)
