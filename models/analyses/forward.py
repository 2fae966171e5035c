"""Costs of past parcels as they would be under the tariff in force or announced."""

from __future__ import annotations

from typing import Any

import pandas as pd

from models.analyses.question import answer


def costs(parcels: pd.DataFrame, again: pd.DataFrame) -> pd.DataFrame:
    """analysis.forward_costs.

    parcels: rows of models/sql/queries/forward_parcels.sql. again: parcel_id and again_cents, base and surcharges under
    the latest tariff. All that was billed grows as base and surcharges do: fuel and tax are shares of them, and what
    the carrier billed beyond its own list it may bill again. Where either tariff cannot price a parcel, its cost stays.
    """
    own = _known(parcels["own_cents"])
    prices = dict(zip(again["parcel_id"], _known(again["again_cents"]), strict=True))
    later = _known(parcels["parcel_id"].map(prices))
    is_priced = (own > 0) & later.notna() & (parcels["rated_on"] > parcels["shipped_on"])
    growth = (later / own.where(own > 0)).where(is_priced, 1.0)
    forward = parcels["cost_cents"].astype(float) + parcels["billed_cents"].astype(float) * (growth - 1.0)
    return answer("analysis.forward_costs", parcels.assign(forward_cost_cents=forward.round().astype("int64")))


def _known(cents: pd.Series[Any]) -> pd.Series[float]:
    """As numbers, what is not known as nan."""
    return pd.Series([float("nan") if pd.isna(each) else float(each) for each in cents], index=cents.index, dtype=float)
