"""The shipping charge per item type and zone band at which eight parcels of ten pay for themselves."""

from __future__ import annotations

import numpy as np
import pandas as pd

from models.analyses.question import Question

# Common practice, no source: a percentile of fewer parcels moves with a single one of them.
LEAST_PARCELS = 20
COLUMNS = (
    "item_type",
    "zone_band",
    "first_on",
    "last_on",
    "parcel_count",
    "charged_per_parcel_cents",
    "allowance_per_parcel_cents",
    "median_cost_cents",
    "high_cost_cents",
    "damage_per_parcel_cents",
    "fee_share",
    "break_even_cents",
    "shortfall_cents",
    "margin_cents",
    "margin_per_parcel_cents",
    "is_too_few",
)


def compute(question: Question) -> dict[str, pd.DataFrame]:
    """analysis.shipping_guidance from marts.shipping_cost_levels."""
    return {"analysis.shipping_guidance": guidance(question.table("marts.shipping_cost_levels"))}


def guidance(levels: pd.DataFrame) -> pd.DataFrame:
    """Break-even charges. levels: rows of marts.shipping_cost_levels. Returns COLUMNS, one row per row of `levels`.

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
    return rows[list(COLUMNS)]
