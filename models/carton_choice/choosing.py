"""Chooses the sizes to stock on past months, and tells what they would have saved, also on months held out."""

from __future__ import annotations

from collections.abc import Callable
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


@dataclass(frozen=True, eq=False)
class Choice:
    """The sizes chosen, by number in `sizes`; price_cents: of one parcel of each class in the best of them, nan where
    none fits; size: which one, -1 where none fits. months: those chosen on, those held out.
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


def choose(
    usages: pd.DataFrame, sizes: SizeList, costs: CostTable, settings: Cartons, clock: Callable[[], float]
) -> Choice:
    """Sizes chosen on all but the last months, at most `settings.sizes`, with the curve of spend against their number.

    usages: rows of class_key (from 1), shipped_month, parcel_count, carton_code. Raises InfeasibleError where so few
    sizes cannot hold all goods, NotFoundError where months are too few.
    """
    chosen_on, held_out = split_months(usages["shipped_month"], settings.hold_out_months)
    past = usages[usages["shipped_month"].isin(chosen_on)]
    weights = np.bincount(past["class_key"] - 1, past["parcel_count"], minlength=len(costs.cents)) / len(chosen_on)
    asked = settings.sizes or past["carton_code"].nunique()
    problem = _problem(sizes, costs, weights, asked + FURTHER, settings)
    curve = spend_curve(problem, Limits(seconds=settings.seconds, clock=clock))
    chosen = _of_count(curve, asked)
    size, price = serve(costs.cents, chosen.sizes)
    return Choice(sizes, costs, curve, chosen, price, size, chosen_on, held_out)


def _problem(
    sizes: SizeList, costs: CostTable, weights: NDArray[np.float64], count: int, settings: Cartons
) -> AssortmentProblem:
    shipped = np.flatnonzero(weights > 0)
    is_new = (sizes.rows["size_source"] != "stock").to_numpy(dtype=float)
    fixed = settings.fixed_cents_per_month + is_new * settings.new_size_cents / MONTHS_OF_A_YEAR
    kept, dropped = (_numbers(sizes, codes) for codes in (settings.keep, settings.drop))
    return AssortmentProblem(costs.cents[shipped] * weights[shipped, None], fixed, count, kept, dropped)


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
    """Usages with saving_part, chosen_cents of the group in the best chosen size, and the size's number.

    Parcels that no chosen size fits stay as they were sent (size -1).
    """
    row = usages["class_key"].to_numpy(dtype=np.int64) - 1
    price = choice.price_cents[row] * usages["parcel_count"].to_numpy(dtype=float)
    part = np.where(usages["shipped_month"].isin(choice.held_out), HELD_OUT, CHOSEN_ON)
    cents = np.where(np.isnan(price), usages["spent_cents"], price).astype(np.int64)
    return usages.assign(saving_part=part, chosen_cents=cents, size=choice.size[row])


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
    saved = bootstrap_saving(rows["shipped_week"], (before - rows["chosen_cents"]) / count, count)
    return {
        "saving_part": part,
        "saving_against": name,
        "parcel_count": int(saved.parcels),
        "week_count": saved.weeks,
        "saving_per_parcel_cents": round(saved.cents_per_parcel),
        "saving_low_cents": None if isnan(saved.low) else round(saved.low),
        "saving_high_cents": None if isnan(saved.high) else round(saved.high),
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


def run_row(choice: Choice, made_at: pd.Timestamp, parcels: int) -> pd.DataFrame:
    """One row: the choice, its months and its proof."""
    row = {
        "made_at": made_at,
        "chosen_from_on": choice.chosen_on[0],
        "chosen_to_on": choice.chosen_on[-1],
        "held_out_month_count": len(choice.held_out),
        "parcel_count": parcels,
        "size_count": len(choice.chosen.sizes),
        "candidate_count": len(choice.sizes.rows),
        "candidate_statement": choice.sizes.statement,
        "monthly_cents": round(choice.chosen.total_cents),
        "bound_monthly_cents": max(0, round(choice.chosen.bound_cents)),
        "gap_share": min(1.0, choice.chosen.gap),
        "is_proven": choice.chosen.is_proven,
    }
    return pd.DataFrame([row])


def with_sizes(settings: Cartons, sizes: int | None, hold_out_months: int | None) -> Cartons:
    """The settings with what a command says in their place."""
    return replace(
        settings,
        sizes=settings.sizes if sizes is None else sizes,
        hold_out_months=settings.hold_out_months if hold_out_months is None else hold_out_months,
    )
