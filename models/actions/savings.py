"""Savings of every month: other cartons and cuts from stock, near misses, packing methods, shipping charges."""

from math import inf
from typing import Any

import pandas as pd
from scipy.special import ndtr, ndtri

from models.actions.action import CARRIAGE, INCOME, MONTHS_OF_A_YEAR, PACKING, Action, listed
from models.plain_rows import UNNAMED, as_dicts

Row = dict[str, Any]
# The plan of the cartons that are in stock today.
STOCK = "cartons in stock"
# Common practice, no source: buyers may buy less where shipping costs more, and no record says how much less.
BY_BUYERS = 0.5
# Common practice, no source: whether the goods allow a little less is for the bench to find out.
BY_GOODS = 0.5
# Common practice, no source: what a dozen weeks show is never told as certain.
MOST_SURE = 0.99
MISSED = ("item_type", "carton_code", "charge_name", "change", "change_in", "change_lb")
# Which kind of action follows from a packing verdict.
PACKING_KINDS = {"use": "packing", "wait": "trial", "choice": "choice"}


def carton_actions(cartons: pd.DataFrame, plan: str = STOCK) -> list[Action]:
    """One action per item type, carton used and better carton from stock, cut or not.

    cartons: item_type, carton_code, best_carton_code, is_cut, cut_low_in, cut_high_in, parcel_count, saving_cents of
    `month_count` months, is_borne_out, whether the months held out bear that out, and saved_month_count, the months in
    which it would have saved.
    """
    return [_carton(row, plan) for row in as_dicts(cartons) if row["saving_cents"] > 0 and row["is_borne_out"]]


def _carton(row: Row, plan: str) -> Action:
    used, best, item = row["carton_code"], row["best_carton_code"], str(row["item_type"])
    heights = ("cut_low_in", "cut_high_in") if row["is_cut"] else ()
    months = int(row["month_count"])
    table = "analysis.best_cartons" if plan == STOCK else "analysis.assortment_cartons"
    return Action(
        action_kind="cut" if row["is_cut"] else "carton",
        facts={name: row[name] for name in ("item_type", "carton_code", "best_carton_code", *heights)},
        confidence=_chance_of_a_month(int(row["saved_month_count"]), months),
        parcel_count=round(int(row["parcel_count"]) / months),
        evidence=f"{table}, item_type {item}, carton_code {used}, best_carton_code {best}",
        month_cents={(item, CARRIAGE): int(row["saving_cents"]) // months},
        plan=plan,
        cartons=frozenset({(item, str(used))}),
    )


def _chance_of_a_month(saved: int, months: int) -> float:
    """Chance that it saves in the next month, by the months in which it would have saved (Laplace's rule of succession:
    Feller, An Introduction to Probability Theory I, 3rd ed. 1968, V.2)."""
    return (saved + 1) / (months + 2)


def chance_above_zero(mean: float, width: float, level: float) -> float:
    """Chance that a saving is above zero, of its mean and the width of its interval at the level, on months held out.
    The mean is taken as normal."""
    if width <= 0:
        return MOST_SURE if mean > 0 else 1 - MOST_SURE
    return min(MOST_SURE, float(ndtr(mean * 2 * ndtri((1 + level) / 2) / width)))


def near_miss_actions(misses: pd.DataFrame, cartons: pd.DataFrame) -> list[Action]:
    """One action per item type, carton, charge and change that no other carton and no cut would spare. Two of them for
    the same parcels exclude each other: the goods change once.

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
        plan=f"near miss {row['charge_name']} {row['change']}",
        cartons=frozenset({(item, str(row["carton_code"]))}),
    )


def packing_actions(decisions: pd.DataFrame, methods: pd.DataFrame) -> list[Action]:
    """One action per item type whose packing should change, be tried or be chosen. A method that breaks more is never
    advised: it is a choice, with both of its sides.

    decisions: of analysis.packing_decision, which compares methods in the best carton from stock of each. methods:
    packing_method, clearance_in. Of other room, the method changes what the parcels' carriage costs: where it was not
    priced with another service, one excludes the other. With less room its gain begins where the changes of carton from
    stock end, so that both add up; with more, those cartons may not hold the goods, so that one excludes the other.
    """
    best = decisions[decisions["is_best"].astype(bool) & ~decisions["is_current"].astype(bool)]
    chosen = best[best["packing_verdict"].isin(list(PACKING_KINDS)) & (best["best_gain_cents"] > 0)]
    room = {str(row["packing_method"]): float(row["clearance_in"]) for row in as_dicts(methods)}
    return [_packing(row, room) for row in as_dicts(chosen) if not _takes_over_a_year(row)]


def _more_room(row: Row, room: dict[str, float]) -> float:
    """Inches of clearance that the better method needs more than the present one; without limit where nobody knows."""
    best, now = (room.get(str(row[name])) for name in ("best_method", "current_method"))
    return inf if best is None or now is None else best - now


def _takes_over_a_year(row: Row) -> bool:
    """Whether it is a trial that would need more parcels of both methods than a year has: that is none."""
    wait = row["wait_parcels"]
    return bool(row["packing_verdict"] == "wait" and pd.notna(wait) and 2 * int(wait) > int(row["yearly_parcel_count"]))


def _packing(row: Row, room: dict[str, float]) -> Action:
    item, kind = str(row["item_type"]), PACKING_KINDS[row["packing_verdict"]]
    low, high = (int(row[f"best_gain_{end}_cents"]) // MONTHS_OF_A_YEAR for end in ("low", "high"))
    more = _more_room(row, room)
    told = {"choice": ("more_damaged_count",), "trial": ("wait_parcels",)}.get(kind, ())
    return Action(
        action_kind=kind,
        facts={name: row[name] for name in ("item_type", "best_method", "current_method", *told)},
        confidence=float(row["best_chance"]),
        parcel_count=round(int(row["yearly_parcel_count"]) / MONTHS_OF_A_YEAR),
        evidence=f"analysis.packing_decision, item_type {item}",
        month_cents={(item, PACKING): int(row["best_gain_cents"]) // MONTHS_OF_A_YEAR},
        month_limits=(low, high),
        is_counted_on=True,
        plan=STOCK if more < 0 else "",
        cartons=frozenset({(item, "")}) if more else frozenset(),
    )


def charge_actions(guidance: pd.DataFrame) -> list[Action]:
    """One action: the item types to charge more for. guidance: rows of analysis.shipping_guidance."""
    short = guidance[
        ~guidance["is_too_few"].astype(bool)
        & (guidance["shortfall_cents"] > 0)
        & (guidance["margin_cents"] < 0)
        & (guidance["item_type"] != UNNAMED)
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
    return [action] if action.saving_cents > 0 else []


def _months(guidance: pd.DataFrame) -> int:
    first, last = pd.to_datetime(guidance["first_on"]).min(), pd.to_datetime(guidance["last_on"]).max()
    return int((last.year - first.year) * 12 + last.month - first.month + 1)
