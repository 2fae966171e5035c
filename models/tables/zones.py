"""Contracts of zones: those that bills teach, and those that contradict a tariff's zone chart."""

from __future__ import annotations

from models.contracts import Contract, contract
from models.made_from import MadeFrom

_LANE = "carrier service ships_from"

ZONES: tuple[Contract, ...] = (
    contract(
        "core.billed_zone_counts",
        f"shipped_month {_LANE} destination_code chart_prefix? charted_zone? zone | parcel_count",
    ),
    contract(
        "core.learned_zones",
        f"{_LANE} destination_prefix | zone zone_bill_count agreeing_count agreeing_share is_decided is_certain",
    ),
    contract("core.parcel_zones", "parcel_id | ships_from zone_source zone? learned_prefix? is_certain"),
    contract(
        "marts.zone_sources",
        "shipped_month carrier zone_source | parcel_count",
        made_from=MadeFrom("core.parcel_zones"),
    ),
    contract(
        "marts.zones_against_chart",
        f"{_LANE} chart_prefix zone | charted_zone parcel_count bill_count other_share",
        made_from=MadeFrom("core.billed_parcels", "carrier service zone", is_among=True),
    ),
)
