"""Chooses the sizes to stock on past months, and tells what they would have saved, also on months held out."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from math import isnan

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from models.assortment import Assortment, AssortmentProblem, Limits, SpendCurve, bootstrap_saving, serve, spend_curve
from models.carton_choice.sizes import CostTable, SizeList
from models.errors import InfeasibleError, NotFoundError
from models.settings.cartons import Cartons

CHOSEN_ON, HELD_OUT = "chosen on", "held out"
# The curve is drawn so far beyond the number of sizes that was asked for.
FURTHER = 2
MONTHS_OF_A_YEAR = 12
# Of the intervals of a saving.
LEVELS = (0.95, 0.8)


@dataclass(frozen=True, eq=False)
class Choice:
    """The sizes chosen, by number in `sizes`; price_cents: of one parcel of each class in the best of them, nan where
    none fits; size: which one, -1 where none fits. months: those chosen on, those held out, of which a choice on all
    months has none.
    """

    sizes: SizeList
    costs: CostTable
    curve: SpendCurve
    chosen: Assortment
    price_cents: NDArray[np.float64]
    size: NDArray[np.int64]
    chosen_on: tuple[pd.Timestamp, ...]
    held_out: tuple[pd.Timestamp, ...]


def split_months(months: pd.Series, hold_out: int) -> tuple[tuple[pd.Timestamp, ...], tuple[pd.Timestamp, ...]]:
    """Months to choose on and the last ones to hold out. Raises NotFoundError where none would be left to choose on."""
    every = sorted(months.drop_duplicates())
    if len(every) <= hold_out:
        raise NotFoundError(
            "core.parcels",
            f"has {len(every)} months with prices, {hold_out} of them to be held out",
            "the choice of sizes",
            "wait for more months, or hold out fewer with --hold-out",
        )
    return tuple(every[: len(every) - hold_out]), tuple(every[len(every) - hold_out :])


def tested_and_final(
    usages: pd.DataFrame, sizes: SizeList, costs: CostTable, settings: Cartons, clock: Callable[[], float]
) -> tuple[Choice, Choice]:
    """Sizes chosen on all but the last months, to be tested on these, and sizes chosen in the same way on all months.

    Each takes half of the time. Raises as `choose`, NotFoundError where months are too few to hold some out.
    """
    chosen_on, held_out = split_months(usages["shipped_month"], settings.hold_out_months)
    half = replace(settings, seconds=settings.seconds / 2)
    tested = choose(usages, chosen_on, sizes, costs, half, clock)
    final = choose(usages, (*chosen_on, *held_out), sizes, costs, half, clock, FURTHER)
    return replace(tested, held_out=held_out), final


def choose(
    usages: pd.DataFrame,
    months: Sequence[pd.Timestamp],
    sizes: SizeList,
    costs: CostTable,
    settings: Cartons,
    clock: Callable[[], float],
    further: int = 0,
) -> Choice:
    """Sizes chosen on the months, at most `settings.sizes`, with the curve of spend up to `further` more of them.

    usages: rows of class_key (from 1), shipped_month, parcel_count, carton_code. Raises InfeasibleError where so few
    sizes cannot hold all goods.
    """
    past = usages[usages["shipped_month"].isin(months)]
    weights = np.bincount(past["class_key"] - 1, past["parcel_count"], minlength=len(costs.cents)) / len(months)
    asked = settings.sizes or past["carton_code"].nunique()
    problem = _problem(sizes, costs, weights, asked + further, settings)
    curve = spend_curve(problem, Limits(seconds=settings.seconds, clock=clock))
    chosen = _of_count(curve, asked)
    size, price = serve(costs.cents, chosen.sizes)
    return Choice(sizes, costs, curve, chosen, price, size, tuple(months), ())


def _problem(
    sizes: SizeList, costs: CostTable, weights: NDArray[np.float64], count: int, settings: Cartons
) -> AssortmentProblem:
    shipped = np.flatnonzero(weights > 0)
    is_new = is_bought(sizes.rows).to_numpy(dtype=float)
    fixed = settings.fixed_cents_per_month + is_new * settings.new_size_cents / MONTHS_OF_A_YEAR
    kept, dropped = (_numbers(sizes, codes) for codes in (settings.keep, settings.drop))
    cents = np.vstack([costs.cents[shipped] * weights[shipped, None], _written_off(sizes)])
    return AssortmentProblem(cents, fixed, count, kept, dropped)


def is_bought(rows: pd.DataFrame) -> pd.Series:
    """Whether a size is not in stock yet."""
    return rows["size_source"] != "stock"


def on_hand_cents(rows: pd.DataFrame) -> pd.Series:
    """What the stock on hand of each size has cost; nothing where it is unknown."""
    on_hand = pd.to_numeric(rows["on_hand"], errors="coerce").fillna(0.0).astype(float)
    return on_hand * rows["unit_cost_cents"].astype(float)


def _written_off(sizes: SizeList) -> NDArray[np.float64]:
    """One class per size with stock on hand: free where the size stays, else a twelfth of what the stock has cost."""
    cents = on_hand_cents(sizes.rows).to_numpy() / MONTHS_OF_A_YEAR
    held = np.flatnonzero(cents > 0)
    rows = np.repeat(cents[held, None], len(sizes.rows), axis=1)
    rows[np.arange(len(held)), held] = 0.0
    return rows


def _numbers(sizes: SizeList, codes: list[str]) -> tuple[int, ...]:
    known = {code: number for number, code in enumerate(sizes.rows["size_code"])}
    unknown = sorted(set(codes) - set(known))
    if unknown:
        raise NotFoundError(
            "[cartons] keep, drop", f"name {', '.join(unknown)}", "the choice of sizes", "use codes of the catalogue"
        )
    return tuple(known[code] for code in codes)


def _of_count(curve: SpendCurve, asked: int) -> Assortment:
    """The assortment of the largest count up to `asked`. Raises InfeasibleError where none is so small."""
    small = [point for count, point in zip(curve.counts, curve.assortments, strict=True) if count <= asked]
    if not small:
        raise InfeasibleError(
            "--sizes",
            f"{asked} sizes cannot hold all goods; at least {curve.counts[0]} are needed",
            "the choice of sizes",
            "allow more sizes",
        )
    return small[-1]


def served(usages: pd.DataFrame, choice: Choice) -> pd.DataFrame:
    """Usages with saving_part, chosen_cents of the group in the best chosen size, the size's number, and is_as_sent.

    Parcels stay as they were sent where no chosen size fits (size -1), or none is cheaper and their carton stays.
    """
    row = usages["class_key"].to_numpy(dtype=np.int64) - 1
    price = choice.price_cents[row] * usages["parcel_count"].to_numpy(dtype=float)
    part = np.where(usages["shipped_month"].isin(choice.held_out), HELD_OUT, CHOSEN_ON)
    used = usages["carton_code"].map({code: at for at, code in enumerate(choice.sizes.rows["size_code"])})
    is_as_sent = np.isnan(price) | (used.isin(choice.chosen.sizes) & (usages["spent_cents"] <= price))
    cents = np.where(is_as_sent, usages["spent_cents"], price).astype(np.int64)
    size = np.where(is_as_sent, used.where(used.isin(choice.chosen.sizes), -1), choice.size[row]).astype(np.int64)
    return usages.assign(saving_part=part, chosen_cents=cents, size=size, is_as_sent=is_as_sent)


def saving_table(rows: pd.DataFrame) -> pd.DataFrame:
    """Saving per parcel against what was spent and against the right carton from stock, on both parts of the months.

    rows: `served`, with the ladder's columns. The interval is drawn over whole weeks.
    """
    against = {"spent": "spent", "right carton from stock": "cut down"}
    found = [
        _saving(part, name, group, group[column])
        for part, group in rows.groupby("saving_part")
        for name, column in against.items()
    ]
    return pd.DataFrame(found)


def _saving(part: object, name: str, rows: pd.DataFrame, before: pd.Series) -> dict[str, object]:
    count = rows["parcel_count"].to_numpy(dtype=float)
    each = (before - rows["chosen_cents"]) / count
    saved, likely = (bootstrap_saving(rows["shipped_week"], each, count, level=level) for level in LEVELS)
    return {
        "saving_part": part,
        "saving_against": name,
        "parcel_count": int(saved.parcels),
        "week_count": saved.weeks,
        "saving_per_parcel_cents": round(saved.cents_per_parcel),
        "saving_low_cents": None if isnan(saved.low) else round(saved.low),
        "saving_high_cents": None if isnan(saved.high) else round(saved.high),
        "saving_likely_low_cents": None if isnan(likely.low) else round(likely.low),
        "saving_likely_high_cents": None if isnan(likely.high) else round(likely.high),
        "saving_cents": round(saved.saved_cents),
    }


def chosen_ladder(rows: pd.DataFrame) -> pd.DataFrame:
    """One row per month and item type: what the chosen sizes would have cost, from `served`."""
    cheaper = rows["parcel_count"].where(rows["chosen_cents"] < rows["cut down"], 0)
    named = rows.assign(better_parcel_count=cheaper, ladder_cents=rows["chosen_cents"])
    sums = ["parcel_count", "better_parcel_count", "ladder_cents", "spent_cents"]
    found = named.groupby(["shipped_month", "item_type"], as_index=False)[sums].sum()
    return found.assign(saving_cents=found["spent_cents"] - found["ladder_cents"]).drop(columns="spent_cents")


def curve_table(choice: Choice) -> pd.DataFrame:
    """One row per number of sizes."""
    curve = choice.curve
    return pd.DataFrame(
        {
            "size_count": curve.counts,
            "monthly_cents": [round(point.total_cents) for point in curve.assortments],
            "bound_monthly_cents": [max(0, round(point.bound_cents)) for point in curve.assortments],
            "gap_share": [min(1.0, point.gap) for point in curve.assortments],
            "is_proven": [point.is_proven for point in curve.assortments],
            "is_knee": [count == curve.knee for count in curve.counts],
        }
    )


def run_row(final: Choice, tested: Choice, settings: Cartons, made_at: pd.Timestamp, parcels: int) -> pd.DataFrame:
    """One row: the choice, its months and its proof, and what it costs beside carriage and cartons."""
    row = {
        "made_at": made_at,
        "chosen_from_on": final.chosen_on[0],
        "chosen_to_on": final.chosen_on[-1],
        "held_out_month_count": len(tested.held_out),
        "parcel_count": parcels,
        "size_count": len(final.chosen.sizes),
        "candidate_count": len(final.sizes.rows),
        "candidate_statement": final.sizes.statement,
        "monthly_cents": round(final.chosen.total_cents),
        "bound_monthly_cents": max(0, round(final.chosen.bound_cents)),
        "gap_share": min(1.0, final.chosen.gap),
        "is_proven": final.chosen.is_proven,
        **_costs_beside(final, settings),
    }
    return pd.DataFrame([row])


def _costs_beside(final: Choice, settings: Cartons) -> dict[str, int]:
    """Stocking more or fewer sizes than today, each month; new sizes and what is written off, once."""
    every = final.sizes.rows
    chosen = every.iloc[list(final.chosen.sizes)]
    stocked = every[~is_bought(every)]
    left = on_hand_cents(stocked[~stocked["size_code"].isin(chosen["size_code"])]).sum()
    return {
        "stocking_month_cents": settings.fixed_cents_per_month * (len(chosen) - len(stocked)),
        "once_cost_cents": settings.new_size_cents * int(is_bought(chosen).sum()) + round(float(left)),
    }


def with_sizes(settings: Cartons, sizes: int | None, hold_out_months: int | None) -> Cartons:
    """The settings with what a command says in their place."""
    return replace(
        settings,
        sizes=settings.sizes if sizes is None else sizes,
        hold_out_months=settings.hold_out_months if hold_out_months is None else hold_out_months,
    )
