"""How often each surcharge was billed, and what it came to."""

from dashboards import figures
from dashboards.panels import Panel, Section, drawn, month_by

TABLE = "marts.surcharge_frequency"
WORDS = "marts.charge_word_costs"

NONE = ("surcharges.none", "surcharges.none_so_far", "surcharges.not_known")

SECTION = Section(
    order=40,
    chapter="carriers",
    name="surcharges",
    title="Surcharges",
    lead=("surcharges.cost_most", "surcharges.cost_most_of_few", *NONE),
    parts=(
        Panel(
            "surcharge-amounts",
            "What each surcharge came to",
            TABLE,
            "surcharge carrier charged_parcel_count amount_cents",
            month_by("-amount_cents"),
            drawn(figures.ranked_bars, ["surcharge", "carrier"], "amount_cents"),
            when_empty=NONE,
        ),
        Panel(
            "surcharge-frequency",
            "Share of each carrier's parcels that were charged it",
            TABLE,
            "surcharge carrier charged_parcel_count parcel_count surcharge_rate",
            month_by("-surcharge_rate"),
            drawn(figures.ranked_bars, ["surcharge", "carrier"], "surcharge_rate"),
            draws_shares=True,
            when_empty=NONE,
            note="surcharges.several",
        ),
        Panel(
            "charge-words",
            "What each word of the invoices came to",
            WORDS,
            "charge_code carrier charge_kind line_count charged_parcel_count amount_cents",
            month_by("-amount_cents"),
            when_empty="surcharges.no_line",
            is_folded=True,
        ),
    ),
)
