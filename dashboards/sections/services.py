"""Services and carriers: which parcels another service would have carried for less."""

import pandas as pd

from dashboards import intervals
from dashboards.panels import Panel, Section, all_by, all_columns, drawn
from dashboards.review_tables import Review
from dashboards.sentences.services import COVERAGE, RULES, has_a_choice

SHOWN = (
    "item_type carrier service zone_low zone_high other_carrier other_service is_advised service_month_cents "
    "parcels_per_month saving_per_parcel_cents sure_saving_cents saving_low_cents saving_high_cents more_damage_cents "
    "held_out_parcel_count week_count learned_within_cents parcel_count expected_cents other_cents saving_cents "
    "billed_parcel_count billed_cents"
)
SAVED_ON = ["item_type", "zone_low", "other_carrier", "other_service"]
SAVED = ("saving_per_parcel_cents", "saving_low_cents", "saving_high_cents")


def where_there_is_a_choice(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: all rows, where any parcel had another service."""
    known = rows if has_a_choice(review) else rows.iloc[:0]
    return known.sort_values(["other_carrier", "other_service", "parcel_count"], ascending=[True, True, False])


SECTION = Section(
    order=43,
    chapter="carriers",
    name="services",
    title="Services and carriers",
    lead="services.saving services.none_cheaper services.none_compared services.none_advised services.more_damage",
    parts=(
        Panel(
            "service-rules",
            "Other services by goods and zones, and what they save",
            RULES,
            SHOWN,
            all_by("-is_advised -service_month_cents"),
            drawn(intervals.interval_points, SAVED_ON, *SAVED),
            foremost="item_type service zone_low zone_high other_carrier other_service is_advised service_month_cents",
            note="services.means services.cautions",
        ),
        Panel(
            "service-coverage",
            "Parcels compared with each other service, and why not",
            COVERAGE,
            all_columns(COVERAGE),
            where_there_is_a_choice,
            note="services.coverage_means",
            is_folded=True,
        ),
    ),
)
