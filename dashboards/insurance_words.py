"""Insuring parcels on a terminal: the same sentences as on the page."""

from collections.abc import Mapping

import pandas as pd

from dashboards import sentences
from dashboards.review_tables import Records
from dashboards.sections.insurance import SAID
from dashboards.sentences import words
from dashboards.sentences.insurance import LEDGER as LEDGER
from dashboards.sentences.insurance import RULES as RULES
from models.shop_units import Units

# Table: its title, and the columns that a terminal has room for.
LISTED = {
    RULES: (
        "what insuring by a rule would have cost and brought",
        words(
            "least_worth_cents is_fragile_only parcel_count premium_cents brought_cents net_low_cents net_high_cents "
            "net_cents"
        ),
    ),
    LEDGER: (
        "premiums and claims so far",
        words(
            "item_type worth_from_cents insured_parcel_count premium_cents paid_claim_count refused_claim_count "
            "lost_cents paid_cents"
        ),
    ),
}


def said(tables: Mapping[str, pd.DataFrame], units: Units) -> list[str]:
    """What the records say of insuring, and how to read the figures."""
    why_none = ("insurance.no_parcel", "insurance.none_settled", "insurance.no_premium")
    means = ("insurance.means",) if len(tables[RULES]) else ()
    return sentences.lines((*SAID, *why_none, *means), Records(tables=tables), units)
