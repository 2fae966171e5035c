"""What to buy, keep and use up: use a month, stock, orders, and what would be left over."""

from collections.abc import Mapping
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from models.carton_choice.choosing import MONTHS_OF_A_YEAR, Choice
from models.carton_choice.order_words import BUY, KEEP, NO_USE, USE_UP
from models.carton_choice.orders import Needed
from models.carton_choice.supply import PriceSteps, ordered
from models.carton_choice.use import YEAR_DAYS
from models.plain_rows import as_dicts
from models.settings.cartons import Cartons

ORDERED = ("order_count", "order_unit_cents", "order_cents")


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


def purchase_advice(
    choice: Choice,
    chosen: pd.DataFrame,
    settings: Cartons,
    steps: Mapping[str, PriceSteps],
    season: NDArray[np.float64],
) -> pd.DataFrame:
    """One row per size that is stocked or chosen. chosen: `size_rows`. steps: price steps by code. season: parcels of
    each day of the next year against a day of the months chosen on.

    Stock that is unknown counts as none when it comes to buying, and as unknown when it comes to leftovers.
    """
    every = choice.sizes.rows
    known = every[(every["size_source"] == "stock") | every["size_code"].isin(chosen["size_code"])]
    use = chosen.set_index("size_code")[["monthly_use", "saving_year_cents"]]
    rows = known.join(use, on="size_code").assign(is_chosen=lambda known: known["monthly_use"].notna())
    rows["monthly_use"] = rows["monthly_use"].fillna(0.0)
    rows["saving_year_cents"] = rows["saving_year_cents"].fillna(0)
    bought = pd.DataFrame([_bought(row, settings, steps, season) for row in as_dicts(rows)], index=rows.index)
    rows = pd.concat([rows, bought], axis=1)
    wanted = np.where(rows["order_count"].fillna(0) > 0, BUY, np.where(rows["monthly_use"] > 0, KEEP, NO_USE))
    rows["advice"] = np.where(rows["is_chosen"], wanted, USE_UP)
    return rows


def _bought(
    row: dict[str, Any], settings: Cartons, steps: Mapping[str, PriceSteps], season: NDArray[np.float64]
) -> dict[str, Any]:
    """How long stock lasts, what to order where it does not last for stock_months, what a year would leave over."""
    left = None if pd.isna(row["stock_left"]) else int(row["stock_left"])
    daily = row["monthly_use"] * MONTHS_OF_A_YEAR / YEAR_DAYS
    needed = Needed(np.cumsum(daily * season), left, None, None)
    used, year = row["monthly_use"], needed.until(YEAR_DAYS)
    found: dict[str, Any] = {
        "stock_months": None if left is None or used <= 0 else left / used,
        "leftover_cents": None if left is None else round(max(0.0, left - year) * row["unit_cost_cents"]),
        **dict.fromkeys(ORDERED),
    }
    missing = needed.until(settings.stock_months * YEAR_DAYS / MONTHS_OF_A_YEAR) - (left or 0)
    if not row["is_chosen"] or missing <= 0 or year <= 0:
        return found
    order = ordered(row, steps.get(str(row["size_code"]), ()), settings, year, missing, missing)
    return found | {name: order[name] for name in ORDERED}
