"""Services and carriers: which parcels another service would have carried for less."""

import pandas as pd

from dashboards import intervals
from dashboards.panels import Frame, Section, all_by, all_columns, panel
from dashboards.pictures import Picture
from dashboards.review_tables import Review
from dashboards.sentences.services import COVERAGE, RULES, has_a_choice
from dashboards.words import words

LIMITS = ("saving_low_cents", "saving_high_cents")
SHOWN = (
    *words(
        "item_type carrier service zone_low zone_high other_carrier other_service is_advised service_month_cents "
        "parcels_per_month saving_per_parcel_cents sure_saving_cents"
    ),
    *LIMITS,
    *words(
        "more_damage_cents held_out_parcel_count week_count learned_within_cents parcel_count expected_cents "
        "other_cents saving_cents billed_parcel_count billed_cents"
    ),
)
FOREMOST = words("item_type service zone_low zone_high other_carrier other_service is_advised service_month_cents")


def where_there_is_a_choice(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: all rows, where any parcel had another service."""
    known = rows if has_a_choice(review) else rows.iloc[:0]
    return known.sort_values(["other_carrier", "other_service", "parcel_count"], ascending=[True, True, False])


def draw(rows: pd.DataFrame, frame: Frame) -> Picture:
    """The saving for each parcel in the months held out, with its interval."""
    by = ["item_type", "zone_low", "other_carrier", "other_service"]
    return intervals.interval_points(rows, frame, by, "saving_per_parcel_cents", *LIMITS)


SECTION = Section(
    order=43,
    chapter="carriers",
    name="services",
    title="Services and carriers",
    lead=words(
        "services.saving services.none_cheaper services.none_compared services.none_advised services.more_damage"
    ),
    parts=(
        panel(
            "service-rules",
            "Other services by goods and zones, and what they save",
            RULES,
            SHOWN,
            all_by("-is_advised -service_month_cents"),
            draw,
            foremost=FOREMOST,
            note="services.means services.cautions",
        ),
        panel(
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
