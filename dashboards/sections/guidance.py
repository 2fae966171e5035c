"""What to charge for shipping: the break-even charge per item type and zone band, beside what buyers paid."""

import pandas as pd

from dashboards import intervals
from dashboards.panels import Frame, Section, all_by, panel
from dashboards.pictures import Picture
from dashboards.review_tables import Review
from dashboards.sentences.advice import charged_short
from dashboards.words import words

TABLE = "analysis.shipping_guidance"
ROWS_DRAWN = 12
PAIR = ("charged_per_parcel_cents", "break_even_cents")
SHOWN = words(
    "item_type zone_band parcel_count charged_per_parcel_cents break_even_cents shortfall_cents "
    "allowance_per_parcel_cents median_cost_cents high_cost_cents damage_per_parcel_cents margin_per_parcel_cents "
    "is_too_few"
)


def short_first(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: rows with enough parcels whose charge falls short, those that lost most in the year first."""
    return charged_short(rows).head(ROWS_DRAWN)


def draw(rows: pd.DataFrame, frame: Frame) -> Picture:
    """Two points per row: what would break even, full, and what was charged, hollow."""
    charged, even = PAIR
    return intervals.interval_points(rows, frame, ["item_type", "zone_band"], even, beside=charged)


SECTION = Section(
    order=45,
    chapter="money",
    name="guidance",
    title="What to charge for shipping",
    lead=("guidance.lost_most", "guidance.lost_most_anywhere", "guidance.none_short", "guidance.too_few"),
    parts=(
        panel(
            "charges-short",
            "Charged and break-even, where the year's loss is greatest",
            TABLE,
            SHOWN,
            short_first,
            draw,
            when_empty="guidance.none_short guidance.too_few guidance.none",
            note="guidance.means",
        ),
        panel(
            "charges-all",
            "Every item type and distance",
            TABLE,
            SHOWN,
            all_by("item_type zone_band"),
            when_empty="guidance.none",
            is_folded=True,
        ),
    ),
)
