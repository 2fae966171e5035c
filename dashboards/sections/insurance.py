"""Insure or carry it oneself, and which claims of the month are one more of a pattern."""

import pandas as pd

from dashboards import figures, intervals
from dashboards.panels import Frame, Panel, Section, all_by, all_columns
from dashboards.pictures import Limit, Picture
from dashboards.review_tables import Review
from dashboards.sentences.insurance import LEDGER, PATTERNS, RULES, patterns_of_month

NOTHING = Limit(0.0, "premium brought back")
SAID = ("insurance.pays_all", "insurance.pays_fragile", "insurance.loses", "insurance.not_clear", "insurance.too_few")


def of_month(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: groups with a claim of the month and others to compare with, the least likely by chance first."""
    found = patterns_of_month(review)
    return found[found["pattern_chance"].notna()]


def draw_rules(rows: pd.DataFrame, frame: Frame) -> Picture:
    """What each rule would have brought less its premium, with its limits."""
    known = rows.dropna(subset=["net_cents"])
    worth = figures.written(known, "least_worth_cents", frame.units)
    goods = known["is_fragile_only"].astype(bool).map({True: "fragile goods", False: "all goods"})
    named = known.assign(is_fragile_only=goods, least_worth_cents=[f"from {each}" for each in worth])
    by = ["is_fragile_only", "least_worth_cents"]
    return intervals.interval_points(named, frame, by, "net_cents", "net_low_cents", "net_high_cents", limits=[NOTHING])


SECTION = Section(
    order=63,
    chapter="damage",
    name="insurance",
    title="Damage patterns and insurance",
    lead=("patterns.claim", "patterns.none", *SAID, "insurance.no_premium"),
    parts=(
        Panel(
            "damage-patterns",
            "Damage claims reported in the month, beside parcels sent alike",
            PATTERNS,
            all_columns(PATTERNS, first="claim_ids", but="reported_month"),
            of_month,
            note="patterns.means",
        ),
        Panel(
            "insurance-rules",
            "What rules of insuring would have cost and brought",
            RULES,
            all_columns(RULES),
            all_by("is_fragile_only least_worth_cents"),
            draw_rules,
            when_empty="insurance.no_premium",
            note="insurance.means",
        ),
        Panel(
            "insurance-ledger",
            "Premiums and claims by item type and worth",
            LEDGER,
            all_columns(LEDGER),
            all_by("-lost_cents item_type worth_from_cents"),
            is_folded=True,
        ),
    ),
)
