"""The plan of other sizes in stock: what to stock, and which of the stocked cartons each item type then takes."""

from typing import Any

import pandas as pd

from models.actions.action import CARRIAGE, MONTHS_OF_A_YEAR, Action, Unit, listed
from models.actions.savings import STOCK, carton_actions, chance_above_zero
from models.plain_rows import as_dicts

Row = dict[str, Any]
SIZES = "sizes"
STOCK_BESIDE = "right carton from stock"


def size_actions(runs: pd.DataFrame, advice: pd.DataFrame, saving: pd.DataFrame, moves: pd.DataFrame) -> list[Action]:
    """The sizes to stock, then the changes of carton among those that stay in stock; they go together.

    runs: one row of analysis.assortment_runs. advice: analysis.purchase_advice. saving: of
    analysis.assortment_saving. moves: item_type, carton_code, best_carton_code, is_bought, is_cut, cut_low_in,
    cut_high_in, parcel_count, saving_cents of `month_count` months, is_borne_out, saved_month_count.

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
    cartons = carton_actions(moves[~moves["is_bought"].astype(bool)], SIZES)
    rest = _beside(moves, cartons, advice)
    return [_opening(run, advice, rest, chance), *_parts(rest, chance), *cartons]


def _chance(saving: pd.DataFrame, run: Row, monthly_parcels: float) -> float | None:
    """Chance that the sizes bring more than the best free use of stock, less what they cost; None where held-out months
    do not bear that out."""
    held = saving[(saving["saving_part"] == "held out") & (saving["saving_against"] == STOCK_BESIDE)]
    known = held[["saving_per_parcel_cents", "saving_likely_low_cents", "saving_likely_high_cents"]].dropna()
    if known.empty or monthly_parcels <= 0:
        return None
    mean, low, high = (float(cents) for cents in known.iloc[0])
    cost = (int(run["stocking_month_cents"]) + int(run["once_cost_cents"]) / MONTHS_OF_A_YEAR) / monthly_parcels
    if low <= cost:
        return None
    return chance_above_zero(mean - cost, high - low, 0.8)


def _beside(moves: pd.DataFrame, cartons: list[Action], advice: pd.DataFrame) -> pd.DataFrame:
    """What comes with the sizes: what parcels in bought ones save, what those save that must leave a carton no longer
    stocked, and what others lose; without the changes of carton that are actions."""
    told = {tuple(each.facts[name] for name in ("item_type", "carton_code", "best_carton_code")) for each in cartons}
    named = zip(moves["item_type"], moves["carton_code"], moves["best_carton_code"], strict=True)
    is_told = pd.Series([each in told for each in named], moves.index, dtype=bool) & (moves["saving_cents"] > 0)
    dropped = advice.loc[~advice["is_chosen"].astype(bool), "size_code"]
    comes = moves["is_bought"].astype(bool) | moves["carton_code"].isin(dropped) | (moves["saving_cents"] < 0)
    return moves[~is_told & comes]


def _opening(run: Row, advice: pd.DataFrame, rest: pd.DataFrame, chance: float) -> Action:
    """The sizes to stock with what they cost and what parcels lose that must leave their carton."""
    bought, used_up = (
        listed(sorted(advice.loc[advice["advice"] == word, "size_code"].astype(str))) for word in ("buy", "use up")
    )
    return Action(
        action_kind=SIZES,
        facts={"size_count": int(run["size_count"]), "named": bought or None, "used_up": used_up or None},
        confidence=chance,
        parcel_count=0,
        evidence="analysis.assortment_cartons, analysis.assortment_saving, held out",
        month_cents=_by_item(rest[rest["saving_cents"] < 0]),
        stocking_cents=int(run["stocking_month_cents"]),
        once_cost_cents=int(run["once_cost_cents"]),
        plan=SIZES,
        replaces=STOCK,
        cartons=frozenset(),
    )


def _parts(rest: pd.DataFrame, chance: float) -> list[Action]:
    """What the sizes save, item type by item type: another action may save more of the same carriage."""
    saved = rest[rest["saving_cents"] > 0]
    months = dict(zip(saved["item_type"].astype(str), saved["month_count"].astype(int), strict=True))
    parcels = saved.groupby("item_type")["parcel_count"].sum()
    return [
        Action(
            action_kind=SIZES,
            facts={"item_type": unit[0]},
            confidence=chance,
            parcel_count=round(int(parcels[unit[0]]) / months[unit[0]]),
            evidence="analysis.assortment_cartons, analysis.assortment_saving, held out",
            month_cents={unit: cents},
            plan=SIZES,
            is_part=True,
        )
        for unit, cents in _by_item(saved).items()
    ]


def _by_item(rows: pd.DataFrame) -> dict[Unit, int]:
    """Cents a month by item type, rounded down."""
    sums = rows.groupby("item_type").agg(cents=("saving_cents", "sum"), months=("month_count", "max"))
    return {(str(row["item_type"]), CARRIAGE): row["cents"] // row["months"] for row in as_dicts(sums.reset_index())}
