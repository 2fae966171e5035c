"""What a claim cost, net of what the carrier pays."""

import numpy as np
import pandas as pd

from models.damage.arrays import BoolArray, floats, require_columns

CLAIM_AMOUNTS = ("claim_state", "claimed_cents", "paid_cents", "claim_cost_cents")
STILL_OPEN = ("reported", "filed", "asked", "appealed")


def severity_cents(claims: pd.DataFrame, handling_cents: int = 0) -> pd.Series:
    """Net loss of each claim in cents: what it cost and handling, less what the carrier paid.

    Columns CLAIM_AMOUNTS; an unknown amount counts as nothing, but for the payment of a claim that is still open:
    there the share of claimed amounts that the carriers paid on decided claims is expected, rounded to the cent.
    """
    require_columns(claims, CLAIM_AMOUNTS, "claims")
    expected = recovered_share(claims) * floats(claims["claimed_cents"])
    paid = np.where(is_open(claims), expected.round(), floats(claims["paid_cents"]))
    return (lost_cents(claims, handling_cents) - paid).rename(index="severity_cents").astype("int64")


def lost_cents(claims: pd.DataFrame, handling_cents: int = 0) -> pd.Series:
    """Loss of each claim in cents before the carrier pays: what it cost and handling."""
    require_columns(claims, CLAIM_AMOUNTS, "claims")
    return pd.Series(floats(claims["claim_cost_cents"]) + handling_cents, claims.index, name="lost_cents")


def is_open(claims: pd.DataFrame) -> BoolArray:
    """Whether it is not known yet what the carrier pays, of each claim."""
    return (claims["claim_state"].isin(STILL_OPEN) & claims["paid_cents"].isna()).to_numpy(bool)


def recovered_share(claims: pd.DataFrame) -> float:
    """Paid cents over claimed cents of the claims already decided; nothing where none is decided."""
    decided = claims[claims["claim_state"].isin(("paid", "paid in part", "refused"))]
    claimed = floats(decided["claimed_cents"]).sum()
    return float(floats(decided["paid_cents"]).sum() / claimed) if claimed > 0 else 0.0
