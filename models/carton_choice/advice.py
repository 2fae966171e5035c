"""What to buy, keep and use up: use a month, stock, orders, and what would be left over."""

from __future__ import annotations

import numpy as np
import pandas as pd

from models.carton_choice.choosing import MONTHS_OF_A_YEAR, Choice


def size_rows(choice: Choice, rows: pd.DataFrame) -> pd.DataFrame:
    """One row per chosen size: parcels it would serve in the months chosen on, their cents, its saving for a year.

    rows: `choosing.served` of a choice on all months. The saving is against what was spent.
    """
    past = rows[rows["size"] >= 0]
    sums = past.groupby("size")[["parcel_count", "spent_cents", "chosen_cents"]].sum()
    chosen = sums.reindex(list(choice.chosen.sizes), fill_value=0)
    months = len(choice.chosen_on)
    stated = choice.sizes.rows.loc[chosen.index].reset_index(drop=True)
    return stated.assign(
        served_parcel_count=chosen["parcel_count"].to_numpy(),
        monthly_use=chosen["parcel_count"].to_numpy() / months,
        spent_cents=chosen["spent_cents"].to_numpy(),
        best_cents=chosen["chosen_cents"].to_numpy(),
        saving_year_cents=np.rint(
            (chosen["spent_cents"] - chosen["chosen_cents"]).to_numpy() * MONTHS_OF_A_YEAR / months
        ).astype(np.int64),
    )


def purchase_advice(choice: Choice, chosen: pd.DataFrame, stock_months: float) -> pd.DataFrame:
    """One row per size that is stocked or chosen. chosen: `size_rows`. stock_months: how long stock should last.

    Stock on hand that is unknown counts as none when it comes to buying, and as unknown when it comes to leftovers.
    """
    every = choice.sizes.rows
    known = every[(every["size_source"] == "stock") | every["size_code"].isin(chosen["size_code"])]
    use = chosen.set_index("size_code")[["monthly_use", "saving_year_cents"]]
    rows = known.join(use, on="size_code").assign(is_chosen=lambda known: known["monthly_use"].notna())
    rows["monthly_use"] = rows["monthly_use"].fillna(0.0)
    rows["saving_year_cents"] = rows["saving_year_cents"].fillna(0)
    on_hand, pack = (pd.to_numeric(rows[name], errors="coerce").astype(float) for name in ("on_hand", "pack_quantity"))
    used = rows["monthly_use"].where(rows["monthly_use"] > 0)
    rows["stock_months"] = on_hand / used
    missing = (rows["monthly_use"] * stock_months - on_hand.fillna(0)).clip(lower=0)
    rows["order_packs"] = np.ceil(missing / pack)
    rows["order_cents"] = rows["order_packs"] * pack * rows["unit_cost_cents"]
    left = (on_hand - rows["monthly_use"] * MONTHS_OF_A_YEAR).clip(lower=0)
    rows["leftover_cents"] = np.round(left * rows["unit_cost_cents"])
    wanted = np.where(missing > 0, "buy", "keep")
    rows["advice"] = np.where(rows["is_chosen"], wanted, "use up")
    return rows
