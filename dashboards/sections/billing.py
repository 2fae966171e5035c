"""What was billed otherwise than the tariff says, and what can still be disputed."""

import pandas as pd

from dashboards import figures
from dashboards.panels import Panel, Section, all_by, all_columns, drawn, month_by
from dashboards.review_tables import Review, in_month
from dashboards.sentences import words
from dashboards.sentences.grounds import is_tariff_known

TOTALS, DISPUTES, DIFFERENCES = "marts.billing_totals", "marts.billing_disputes", "marts.billing_differences"
CURVES, UNCHECKED = "analysis.rate_curves", "marts.unchecked_charges"
QUOTED, UNUSED = "marts.quoted_against_billed", "marts.unused_labels"
NONE = ("billing.no_error", "billing.no_error_learned", "billing.not_checked", "billing.no_bill")
NONE_OPEN = ("disputes.none",)
LEARNED = ("learned.error", "learned.error_of_few", "learned.error_not_known")
SHOWN = 25


def not_rated(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the month's parcels that could not be checked."""
    month = in_month(rows, review.month)
    # Without any tariff none could be, which is said once.
    return month[(month["difference_class"] == "not rated") & is_tariff_known(review)]


def next_refund_first(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: unused labels, the nearest last day of a refund first, those past it or without one last."""
    is_open = rows["refund_days_left"].fillna(-1) >= 0
    ordered = rows.assign(is_past=~is_open).sort_values(["is_past", "refund_by_on", "parcel_id"], kind="stable")
    return ordered.drop(columns="is_past").head(SHOWN)


SECTION = Section(
    order=44,
    chapter="carriers",
    name="billing",
    title="Billing errors",
    lead=(*words("disputes.next disputes.next_by_records disputes.overdue disputes.no_deadline"), *NONE_OPEN, *LEARNED),
    parts=(
        Panel(
            "billing-causes",
            "What each cause added to the bills of this month's parcels",
            TOTALS,
            all_columns(
                TOTALS,
                first="difference_class carrier dispute_count over_cents credited_cents outstanding_cents",
                but="shipped_month disputable_cents",
            ),
            month_by("-over_cents"),
            drawn(figures.ranked_bars, ["difference_class", "carrier"], "over_cents"),
            when_empty=NONE,
        ),
        Panel(
            "disputes",
            "To dispute, the next deadline first",
            DISPUTES,
            "dispute_id difference_class outstanding_cents own_evidence billed_evidence last_dispute_on",
            all_by("last_dispute_on dispute_id", SHOWN, "is_disputable"),
            marks_overdue=True,
            when_empty=NONE_OPEN,
            note="disputes.most_shown",
        ),
        Panel(
            "quoted-against-billed",
            "Postage quoted against billed, by item type",
            QUOTED,
            all_columns(QUOTED, first="item_type parcel_count", but="shipped_month"),
            month_by("-above_quote_cents"),
            when_empty="quotes.none",
            is_folded=True,
        ),
        Panel(
            "unused-labels",
            "Paid labels never scanned",
            UNUSED,
            all_columns(UNUSED, first="parcel_id quoted_cents refund_by_on", but="refund_days_left"),
            next_refund_first,
            when_empty="labels.none_unused labels.no_scans",
            note="labels.no_scans",
            is_folded=True,
        ),
        Panel(
            "not-rated",
            "Bills that could not be checked",
            DIFFERENCES,
            "parcel_id carrier charge_name billed_cents",
            not_rated,
            when_empty="billing.all_checked billing.no_bill",
            is_folded=True,
        ),
        Panel(
            "not-checked",
            "Charges outside the tariff: options, events, and charges that it states no rule for",
            UNCHECKED,
            "carrier charge_name difference_class line_count parcel_count billed_cents",
            when_empty="billing.none_outside billing.not_checked billing.no_bill",
            note="billing.outside",
            is_folded=True,
        ),
        Panel(
            "learned-prices",
            "Prices learned from bills, and how far they miss",
            CURVES,
            "carrier service zone is_in_use learned_first_on learned_last_on bill_count seen_from_lb seen_to_lb "
            "left_out_error_cents left_out_error_share widest_interval_share",
            all_by("-is_in_use -bill_count", SHOWN),
            note="learned.means",
        ),
    ),
)
