"""Savings of every month: other cartons, cuts, sizes to stock, packing methods, shipping charges."""

from __future__ import annotations

from typing import Any

import pandas as pd

from models.actions.action import CARRIAGE, INCOME, PACKING, Action, counted, listed
from models.rows import as_dicts
from models.shop_units import LENGTH, WEIGHT, Units

Row = dict[str, Any]
# The tariff and a checked placement say so; what is left open is whether the bench follows.
BY_TARIFF = 0.9
# Common practice, no source: buyers may buy less where shipping costs more, and no record says how much less.
BY_BUYERS = 0.5
# Common practice, no source: whether the goods allow a little less is for the bench to find out.
BY_GOODS = 0.5
# Which kind of action follows from a packing verdict.
PACKING_KINDS = {"use": "packing", "wait": "trial", "choice": "choice"}


def carton_actions(cartons: pd.DataFrame, units: Units) -> list[Action]:
    """One action per item type, carton used and better carton from stock, cut or not.

    cartons: item_type, carton_code, best_carton_code, is_cut, cut_low_in, cut_high_in, parcel_count, saving_cents of
    `month_count` months, of which late_saving_cents in the last three: what no late parcel bears out is not advised.
    units: in which cut heights are written.
    """
    return [
        _carton(row, units) for row in as_dicts(cartons) if row["saving_cents"] > 0 and row["late_saving_cents"] > 0
    ]


def _carton(row: Row, units: Units) -> Action:
    used, best, item = row["carton_code"], row["best_carton_code"], str(row["item_type"])
    cut = f"cut to {_span(row['cut_low_in'], row['cut_high_in'], units)}" if row["is_cut"] else ""
    if used == best:
        words, command = f"{item}: carton {used}, {cut}", "dunnage bench-sheets"
    else:
        words = f"{item}: carton {best}{', ' + cut if cut else ''} instead of {used}"
        command = "dunnage bench-sheets" if cut else "Cartons, on this page"
    months = int(row["month_count"])
    return Action(
        action_kind="cut" if cut else "carton",
        words=words,
        confidence=BY_TARIFF,
        parcel_count=round(int(row["parcel_count"]) / months),
        evidence=f"analysis.best_cartons, item_type {item}, carton_code {used}, best_carton_code {best}",
        go_on_with=command,
        month_cents={(item, CARRIAGE): int(row["saving_cents"]) // months},
        plan="cartons in stock",
    )


def _span(low_in: float, high_in: float, units: Units) -> str:
    first, last = units.written(LENGTH, low_in), units.measured(LENGTH, high_in)
    return last if units.measured(LENGTH, low_in) == last else f"{first} to {last}"


def near_miss_actions(misses: pd.DataFrame, cartons: pd.DataFrame, units: Units) -> list[Action]:
    """One action per item type, carton, charge and change that no other carton and no cut would spare.

    misses: item_type, carton_code, charge_name, change, change_in, change_lb, parcel_count, cut_count,
    other_carton_code, spared_cents of `month_count` months. cartons: as for `carton_actions`, whose matter it is where
    another carton or a cut helps.
    """
    helped = set(zip(cartons["item_type"], cartons["carton_code"], strict=True))
    pairs = zip(misses["item_type"], misses["carton_code"], strict=True)
    left = misses[pd.Series([pair not in helped for pair in pairs], index=misses.index, dtype=bool)]
    tight = left[left["other_carton_code"].isna() & (2 * left["cut_count"] < left["parcel_count"])]
    return [_near_miss(row, units) for row in as_dicts(tight) if row["spared_cents"] > 0]


def _near_miss(row: Row, units: Units) -> Action:
    item, months = str(row["item_type"]), int(row["month_count"])
    if row["change"] == "weight":
        less = f"{units.measured(WEIGHT, row['change_lb'])} lighter"
    else:
        less = f"{row['change']} {units.measured(LENGTH, row['change_in'])} shorter"
    return Action(
        action_kind="near miss",
        words=f"{item} in carton {row['carton_code']}: {less} would keep off {row['charge_name']}",
        confidence=BY_GOODS,
        parcel_count=round(int(row["parcel_count"]) / months),
        evidence=f"marts.near_miss_totals, item_type {item}, carton_code {row['carton_code']}, "
        f"charge_name {row['charge_name']}, change {row['change']}",
        go_on_with="Near misses, on this page",
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
    codes_by_advice = {
        word: sorted(advice.loc[advice["advice"] == word, "size_code"].astype(str)) for word in ("buy", "use up")
    }
    parts = [f"{word} {listed(codes)}" for word, codes in codes_by_advice.items() if codes]
    action = Action(
        action_kind="sizes",
        words=f"Stock {len(sizes)} sizes of carton{': ' + '; '.join(parts) if parts else ''}",
        confidence=BY_TARIFF if is_sure else 0.5,
        parcel_count=round(float((kept["parcel_count"] / kept["month_count"]).sum())),
        evidence="analysis.assortment, analysis.assortment_saving, held out",
        go_on_with="dunnage cartons",
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
    return [_packing(row) for row in as_dicts(chosen)]


def _packing(row: Row) -> Action:
    item, method, current = (str(row[name]) for name in ("item_type", "best_method", "current_method"))
    kind = PACKING_KINDS[row["packing_verdict"]]
    words = f"{item}: pack with {method} instead of {current}"
    if kind == "choice":
        more = counted(int(row["more_damaged_count"]), "more broken parcel")
        words = f"{item}: {method} instead of {current} costs less and means about {more} a year"
    if kind == "trial":
        wanted = row["wait_parcels"]
        count: str = "more parcels" if pd.isna(wanted) else f"{int(wanted)} more parcels"
        words = f"{item}: pack {count} each with {method} and {current}, then decide"
    return Action(
        action_kind=kind,
        words=words,
        confidence=float(row["best_chance"]),
        parcel_count=round(int(row["yearly_parcel_count"]) / 12),
        evidence=f"analysis.packing_decision, item_type {item}",
        go_on_with=f"dunnage damage --item-type '{item}'",
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
        words=f"Charge more for shipping, or keep more in the item price: {listed(losses.index.astype(str).tolist())}",
        confidence=BY_BUYERS,
        parcel_count=round(int(short["parcel_count"].sum()) / months),
        evidence="analysis.shipping_guidance, shortfall_cents above 0 and margin_cents below 0",
        go_on_with="What to charge for shipping, on this page",
        month_cents={(str(item), INCOME): int(cents) for item, cents in losses.items()},
    )
    return [action] if action.alone_cents > 0 else []


def _months(guidance: pd.DataFrame) -> int:
    first, last = pd.to_datetime(guidance["first_on"]).min(), pd.to_datetime(guidance["last_on"]).max()
    return int((last.year - first.year) * 12 + last.month - first.month + 1)
