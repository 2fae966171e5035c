"""What to charge for shipping: the break-even charge per item type and zone band, beside what buyers paid."""

from dashboards import intervals
from dashboards.panels import Panel, Section, all_by, drawn
from dashboards.sentences.advice import charged_short

TABLE = "analysis.shipping_guidance"
ROWS_DRAWN, CELL = 12, ["item_type", "zone_band"]
SHOWN = (
    "item_type zone_band parcel_count charged_per_parcel_cents break_even_cents shortfall_cents "
    "allowance_per_parcel_cents median_cost_cents high_cost_cents damage_per_parcel_cents margin_per_parcel_cents "
    "is_too_few"
)


SECTION = Section(
    order=45,
    chapter="money",
    name="guidance",
    title="What to charge for shipping",
    lead=("guidance.lost_most", "guidance.lost_most_anywhere", "guidance.none_short", "guidance.too_few"),
    parts=(
        Panel(
            "charges-short",
            "Charged and break-even, where the year's loss is greatest",
            TABLE,
            SHOWN,
            lambda review, rows: charged_short(rows).head(ROWS_DRAWN),
            drawn(intervals.interval_points, CELL, "break_even_cents", beside="charged_per_parcel_cents"),
            when_empty="guidance.none_short guidance.too_few guidance.none",
            note="guidance.means",
        ),
        Panel(
            "charges-all",
            "Every item type and band of zones",
            TABLE,
            SHOWN,
            all_by("item_type zone_band"),
            when_empty="guidance.none",
            is_folded=True,
        ),
    ),
)
