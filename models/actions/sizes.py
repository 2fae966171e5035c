"""The plan of other sizes in stock: what to stock, and which of the stocked cartons each item type then takes."""

from __future__ import annotations

import math
from typing import Any

import pandas as pd
from scipy.special import ndtr

from models.actions.action import CARRIAGE, Action, listed
from models.actions.savings import carton_actions
from models.rows import as_dicts

Row = dict[str, Any]
SIZES = "sizes"
STOCK_BESIDE = "right carton from stock"
# Standard errors between the limits of an interval of 80 percent.
WIDTH_OF_80 = 2 * 1.2815515655446004


def size_actions(runs: pd.DataFrame, advice: pd.DataFrame, saving: pd.DataFrame, moves: pd.DataFrame) -> list[Action]:
    """The sizes to stock, then the changes of carton among those that stay in stock; they go together.

    runs: one row of analysis.assortment_runs. advice: of analysis.purchase_advice. saving: of
    analysis.assortment_saving. moves: item_type, carton_code, best_carton_code, is_bought, is_cut, cut_low_in,
    cut_high_in, parcel_count, saving_cents of `month_count` months, late_saving_cents, saved_month_count.

    Nothing is advised unless held-out months bear it out: what sizes chosen in the same way saved against the best free
    use of today's stock, by the lower limit of 80 percent, less what they cost to stock and to take up.
    """
    if runs.empty or moves.empty or advice.empty:
        return []
    run = as_dicts(runs)[0]
    months = int(moves["month_count"].iloc[0])
    chance = _chance(saving, run, float(moves["parcel_count"].sum()) / months)
    if chance is None:
        return []
    stays = moves[~moves["is_bought"].astype(bool)]
    cartons = carton_actions(stays, SIZES)
    return [_sizes(run, advice, moves, cartons, chance), *cartons]


def _chance(saving: pd.DataFrame, run: Row, monthly_parcels: float) -> float | None:
    """Chance that the sizes bring more than the best free use of stock, less what they cost; None where held-out months
    do not bear that out. The mean saving is taken as normal, with the spread of its interval."""
    held = saving[(saving["saving_part"] == "held out") & (saving["saving_against"] == STOCK_BESIDE)]
    known = held[["saving_per_parcel_cents", "saving_likely_low_cents", "saving_likely_high_cents"]].dropna()
    if known.empty or monthly_parcels <= 0:
        return None
    mean, low, high = (float(cents) for cents in known.iloc[0])
    cost = (int(run["stocking_month_cents"]) + int(run["once_cost_cents"]) / 12) / monthly_parcels
    if low <= cost:
        return None
    spread = (high - low) / WIDTH_OF_80
    return 1.0 if spread == 0 else float(ndtr((mean - cost) / spread))


def _sizes(run: Row, advice: pd.DataFrame, moves: pd.DataFrame, cartons: list[Action], chance: float) -> Action:
    """What the sizes bring beside the changes of carton that go with them: all that is saved, less what these save."""
    months = int(moves["month_count"].iloc[0])
    told = {
        (str(each.facts["item_type"]), each.facts["carton_code"], each.facts["best_carton_code"]) for each in cartons
    }
    is_told = [
        (str(row["item_type"]), row["carton_code"], row["best_carton_code"]) in told and row["saving_cents"] > 0
        for row in as_dicts(moves)
    ]
    rest = moves[[not each for each in is_told]]
    rest = rest[rest["is_bought"].astype(bool) | (rest["saving_cents"] < 0)]
    by_item = rest.groupby("item_type")["saving_cents"].sum()
    bought, used_up = (
        listed(sorted(advice.loc[advice["advice"] == word, "size_code"].astype(str))) for word in ("buy", "use up")
    )
    return Action(
        action_kind=SIZES,
        facts={"size_count": int(run["size_count"]), "named": bought or None, "used_up": used_up or None},
        confidence=chance,
        parcel_count=round(float(rest["parcel_count"].sum()) / months),
        evidence="analysis.assortment_cartons, analysis.assortment_saving, held out",
        month_cents={(str(item), CARRIAGE): math.floor(cents / months) for item, cents in by_item.items()},
        stocking_cents=int(run["stocking_month_cents"]),
        once_cost_cents=int(run["once_cost_cents"]),
        plan=SIZES,
        is_whole=True,
        cartons=frozenset((str(item), "") for item in moves["item_type"].unique()),
    )
