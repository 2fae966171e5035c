"""Savings of every month: other cartons, cuts, sizes to stock, packing methods, shipping charges."""

from __future__ import annotations

from typing import Any

import pandas as pd

from models.actions.action import CARRIAGE, INCOME, PACKING, Action, listed
from models.rows import as_dicts

Row = dict[str, Any]
# The tariff and a checked placement say so; what is left open is whether the bench follows.
BY_TARIFF = 0.9
# Common practice, no source: buyers may buy less where shipping costs more, and no record says how much less.
BY_BUYERS = 0.5
# Common practice, no source: whether the goods allow a little less is for the bench to find out.
BY_GOODS = 0.5
MISSED = ("item_type", "carton_code", "charge_name", "change", "change_in", "change_lb")
# Which kind of action follows from a packing verdict.
PACKING_KINDS = {"use": "packing", "wait": "trial", "choice": "choice"}


def carton_actions(cartons: pd.DataFrame) -> list[Action]:
    """One action per item type, carton used and better carton from stock, cut or not.

    cartons: item_type, carton_code, best_carton_code, is_cut, cut_low_in, cut_high_in, parcel_count, saving_cents of
    `month_count` months, of which late_saving_cents in the last three: what no late parcel bears out is not advised.
    """
    return [_carton(row) for row in as_dicts(cartons) if row["saving_cents"] > 0 and row["late_saving_cents"] > 0]


def _carton(row: Row) -> Action:
    used, best, item = row["carton_code"], row["best_carton_code"], str(row["item_type"])
    heights = ("cut_low_in", "cut_high_in") if row["is_cut"] else ()
    months = int(row["month_count"])
    return Action(
        action_kind="cut" if row["is_cut"] else "carton",
        facts={name: row[name] for name in ("item_type", "carton_code", "best_carton_code", *heights)},
        confidence=BY_TARIFF,
        parcel_count=round(int(row["parcel_count"]) / months),
        evidence=f"analysis.best_cartons, item_type {item}, carton_code {used}, best_carton_code {best}",
        month_cents={(item, CARRIAGE): int(row["saving_cents"]) // months},
        plan="cartons in stock",
    )


def near_miss_actions(misses: pd.DataFrame, cartons: pd.DataFrame) -> list[Action]:
    """One action per item type, carton, charge and change that no other carton and no cut would spare.

    misses: item_type, carton_code, charge_name, change, change_in, change_lb, parcel_count, cut_count,
    other_carton_code, spared_cents of `month_count` months. cartons: as for `carton_actions`, whose matter it is where
    another carton or a cut helps.
    """
    helped = set(zip(cartons["item_type"], cartons["carton_code"], strict=True))
    pairs = zip(misses["item_type"], misses["carton_code"], strict=True)
    left = misses[pd.Series([pair not in helped for pair in pairs], index=misses.index, dtype=bool)]
    tight = left[left["other_carton_code"].isna() & (2 * left["cut_count"] < left["parcel_count"])]
    return [_near_miss(row) for row in as_dicts(tight) if row["spared_cents"] > 0]


def _near_miss(row: Row) -> Action:
    item, months = str(row["item_type"]), int(row["month_count"])
    return Action(
        action_kind="near miss",
        facts={name: row[name] for name in MISSED},
        confidence=BY_GOODS,
        parcel_count=round(int(row["parcel_count"]) / months),
        evidence=f"marts.near_miss_totals, item_type {item}, carton_code {row['carton_code']}, "
        f"charge_name {row['charge_name']}, change {row['change']}",
        month_cents={(item, CARRIAGE): int(row["spared_cents"]) // months},
        plan="near misses",
    )


def size_actions(sizes: pd.DataFrame, advice: pd.DataFrame, saving: pd.DataFrame, kept: pd.DataFrame) -> list[Action]:
    """One action: the sizes to stock.

    sizes: rows of analysis.assortment. advice: of analysis.purchase_advice. saving: of analysis.assortment_saving.
    kept: item_type, parcel_count, saving_cents of `month_count` months with the chosen sizes. The saving is scaled by
    what held-out months confirm of it; where they lose by it, against what was spent or against the best of today's
    stock, nothing is advised.
    """
    if sizes.empty or kept.empty or not _is_borne_out(saving):
        return []
    confirmed, is_sure = _confirmed(saving)
    month_cents = {
        (str(row["item_type"]), CARRIAGE): int(row["saving_cents"] * confirmed) // int(row["month_count"])
        for row in as_dicts(kept)
        if row["saving_cents"] > 0
    }
    bought, used_up = (
        listed(sorted(advice.loc[advice["advice"] == word, "size_code"].astype(str))) for word in ("buy", "use up")
    )
    action = Action(
        action_kind="sizes",
        facts={"size_count": len(sizes), "named": bought or None, "used_up": used_up or None},
        confidence=BY_TARIFF if is_sure else 0.5,
        parcel_count=round(float((kept["parcel_count"] / kept["month_count"]).sum())),
        evidence="analysis.assortment, analysis.assortment_saving, held out",
        month_cents=month_cents,
        month_limits=_held_out_limits(saving, sum(month_cents.values())),
    )
    return [action] if action.alone_cents > 0 else []


def _held_out_limits(saving: pd.DataFrame, month_cents: int) -> tuple[int, int] | None:
    """The limits of the held-out saving for each parcel, as those of the month's."""
    held = saving[(saving["saving_against"] == "spent") & (saving["saving_part"] == "held out")]
    limits = held[["saving_per_parcel_cents", "saving_low_cents", "saving_high_cents"]].dropna()
    if limits.empty:
        return None
    mean, low, high = (float(cents) for cents in limits.iloc[0])
    return round(month_cents * low / mean), round(month_cents * high / mean)


def _is_borne_out(saving: pd.DataFrame) -> bool:
    """Whether no comparison on held-out months is a loss."""
    held = saving[saving["saving_part"] == "held out"]
    return bool((held["saving_per_parcel_cents"] > 0).all())


def _confirmed(saving: pd.DataFrame) -> tuple[float, bool]:
    """Held-out saving per parcel over that of the months chosen on, and whether its interval lies above nothing."""
    rows = {str(row["saving_part"]): row for row in as_dicts(saving[saving["saving_against"] == "spent"])}
    if not {"held out", "chosen on"} <= rows.keys():
        return 1.0, False
    held, chosen = rows["held out"], rows["chosen on"]
    if chosen["saving_per_parcel_cents"] <= 0:
        return 0.0, False
    low = held["saving_low_cents"]
    share = min(max(held["saving_per_parcel_cents"] / chosen["saving_per_parcel_cents"], 0.0), 1.0)
    return float(share), bool(pd.notna(low) and low > 0)


def packing_actions(decisions: pd.DataFrame) -> list[Action]:
    """One action per item type whose packing should change, be tried or be chosen. decisions: of
    analysis.packing_decision. A method that breaks more is never advised: it is a choice, with both of its sides."""
    best = decisions[decisions["is_best"].astype(bool) & ~decisions["is_current"].astype(bool)]
    chosen = best[best["packing_verdict"].isin(list(PACKING_KINDS)) & (best["best_gain_cents"] > 0)]
    return [_packing(row) for row in as_dicts(chosen) if not _takes_over_a_year(row)]


def _takes_over_a_year(row: Row) -> bool:
    """Whether it is a trial that would need more parcels of both methods than a year has: that is none."""
    wait = row["wait_parcels"]
    return bool(row["packing_verdict"] == "wait" and pd.notna(wait) and 2 * int(wait) > int(row["yearly_parcel_count"]))


def _packing(row: Row) -> Action:
    item, kind = str(row["item_type"]), PACKING_KINDS[row["packing_verdict"]]
    told = {"choice": ("more_damaged_count",), "trial": ("wait_parcels",)}.get(kind, ())
    return Action(
        action_kind=kind,
        facts={name: row[name] for name in ("item_type", "best_method", "current_method", *told)},
        confidence=float(row["best_chance"]),
        parcel_count=round(int(row["yearly_parcel_count"]) / 12),
        evidence=f"analysis.packing_decision, item_type {item}",
        month_cents={(item, PACKING): int(row["best_gain_cents"]) // 12},
        month_limits=(int(row["best_gain_low_cents"]) // 12, int(row["best_gain_high_cents"]) // 12),
    )


def charge_actions(guidance: pd.DataFrame) -> list[Action]:
    """One action: the item types to charge more for. guidance: rows of analysis.shipping_guidance."""
    short = guidance[
        ~guidance["is_too_few"].astype(bool) & (guidance["shortfall_cents"] > 0) & (guidance["margin_cents"] < 0)
    ]
    if short.empty:
        return []
    months = _months(guidance)
    losses = (-short.groupby("item_type")["margin_cents"].sum()).sort_values(ascending=False, kind="stable") // months
    action = Action(
        action_kind="charge",
        facts={"named": listed(losses.index.astype(str).tolist())},
        confidence=BY_BUYERS,
        parcel_count=round(int(short["parcel_count"].sum()) / months),
        evidence="analysis.shipping_guidance, shortfall_cents above 0 and margin_cents below 0",
        month_cents={(str(item), INCOME): int(cents) for item, cents in losses.items()},
    )
    return [action] if action.alone_cents > 0 else []


def _months(guidance: pd.DataFrame) -> int:
    first, last = pd.to_datetime(guidance["first_on"]).min(), pd.to_datetime(guidance["last_on"]).max()
    return int((last.year - first.year) * 12 + last.month - first.month + 1)
