"""The shipping charge per item type and zone band at which eight parcels of ten pay for themselves.

Eight of ten means of parcels to come: history is priced under the tariff in force, or announced for the next two months
(`costs`), and the percentile is the one that the next parcel stays below with that very chance
(definition 6 of R. J. Hyndman and Y. Fan, The American Statistician 50 (1996), 361-365), however few they are.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pandas as pd

from models.analyses.question import Question, answer

# Common practice, no source: a percentile of fewer parcels moves with a single one of them.
LEAST_PARCELS = 20
READS, FORWARD = ("marts.shipping_cost_levels",), "analysis.forward_costs"
CELL = ["item_type", "zone_band"]
HALF, HIGH = 0.5, 0.8
# As billed, a cost has another name than under the tariff in force; it stands for it where nothing is rated again.
PAST = {"past_median_cents": "median_cost_cents", "past_high_cents": "high_cost_cents"}


def compute(question: Question) -> dict[str, pd.DataFrame]:
    """analysis.shipping_guidance; without FORWARD by what parcels cost as they were billed."""
    levels, costs = question.table(READS[0]).rename(columns=PAST), question.found(FORWARD)
    return {"analysis.shipping_guidance": guidance(levels if costs is None else priced(levels, costs))}


def priced(levels: pd.DataFrame, costs: pd.DataFrame) -> pd.DataFrame:
    """The levels with median and high cost of what parcels would cost now. costs: rows of analysis.forward_costs."""
    known = costs.groupby(CELL)["forward_cost_cents"]
    cells = pd.MultiIndex.from_frame(levels[CELL])
    found = {}
    for column, share in (("median_cost_cents", HALF), ("high_cost_cents", HIGH)):
        by_cell = {cell: _quantile(cents, share) for cell, cents in known}
        again = pd.Series([by_cell.get(cell) for cell in cells], index=levels.index, dtype="float64")
        found[column] = again.fillna(levels[column].astype(float))
    return levels.assign(**found)


def _quantile(cents: pd.Series[int], share: float) -> int:
    return round(float(np.quantile(cents.to_numpy(dtype=float), share, method="weibull")))


def guidance(levels: pd.DataFrame) -> pd.DataFrame:
    """Break-even charges, one row per row of `levels`, which are marts.shipping_cost_levels renamed by PAST.

    A charge c leaves c - fee x c + allowance - cost - damage, which is nothing at c = (cost + damage - allowance) /
    (1 - fee), rounded up to the cent and never below nothing. fee: share of the shipping charged that marketplaces
    kept, over all channels of the row; cost: 80th percentile; damage: mean of the item type.
    """
    each = levels.astype(dict.fromkeys((name for name in levels if str(name).endswith("_cents")), "float64"))
    charged, fee = each["shipping_charged_cents"], each["fee_on_shipping_cents"]
    share = (fee / charged.where(charged > 0)).fillna(0.0).clip(0, 0.99)
    per_parcel = {
        f"{name}_per_parcel_cents": (each[column] / each["parcel_count"]).round()
        for name, column in (
            ("charged", "shipping_charged_cents"),
            ("allowance", "allowance_cents"),
            ("margin", "margin_cents"),
        )
    }
    needed = each["high_cost_cents"] + each["damage_per_parcel_cents"] - per_parcel["allowance_per_parcel_cents"]
    break_even = np.ceil((needed.clip(lower=0) / (1 - share)).round(6))
    rows = levels.assign(
        **per_parcel,
        fee_share=share,
        break_even_cents=break_even,
        shortfall_cents=break_even - per_parcel["charged_per_parcel_cents"],
        is_too_few=levels["parcel_count"] < LEAST_PARCELS,
    )
    return answer("analysis.shipping_guidance", rows)


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
