"""Chooses the sizes to stock: on all months, and for a test without those held out."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from models.assortment import Assortment, AssortmentProblem, Limits, SpendCurve, serve, spend_curve
from models.carton_choice.sizes import CostTable, SizeList
from models.carton_choice.year_demands import YearDemand, mean_demand, year_demands
from models.errors import InfeasibleError, NotFoundError
from models.settings.cartons import Cartons

CHOSEN_ON, HELD_OUT = "chosen on", "held out"
# The curve is drawn so far beyond the number of sizes that was asked for.
FURTHER = 2
MONTHS_OF_A_YEAR = 12


@dataclass(frozen=True, eq=False)
class Choice:
    """The sizes chosen, by number in `sizes`; price_cents: of one parcel of each class in the best of them, nan where
    none fits; size: which one, -1 where none fits. months: those chosen on, those held out, of which a choice on all
    months has none. demands: of the year to come, on whose mean they were chosen.
    """

    sizes: SizeList
    costs: CostTable
    curve: SpendCurve
    chosen: Assortment
    price_cents: NDArray[np.float64]
    size: NDArray[np.int64]
    chosen_on: tuple[pd.Timestamp, ...]
    held_out: tuple[pd.Timestamp, ...]
    demands: tuple[YearDemand, ...]


def split_months(months: pd.Series, hold_out: int) -> tuple[tuple[pd.Timestamp, ...], tuple[pd.Timestamp, ...]]:
    """Months to choose on and the last ones to hold out. Raises NotFoundError where none would be left to choose on."""
    every = sorted(months.drop_duplicates())
    if len(every) <= hold_out:
        raise NotFoundError(
            "records",
            f"only {len(every)} months have parcels with prices, and {hold_out} are to be held out"
            if every
            else "no month has parcels that a tariff prices",
            "the choice of sizes",
            "wait for more months, or hold out fewer with --hold-out"
            if every
            else "import sales or a bench log and cartons; take in a tariff by `dunnage tariff import`, or learn one "
            "from bills by `dunnage tariff learn`; then `dunnage review`",
        )
    return tuple(every[: len(every) - hold_out]), tuple(every[len(every) - hold_out :])


def tested_and_final(
    usages: pd.DataFrame,
    sent: pd.DataFrame,
    sizes: SizeList,
    costs: CostTable,
    settings: Cartons,
    clock: Callable[[], float],
) -> tuple[Choice, Choice]:
    """Sizes chosen on all but the last months, to be tested on these, and sizes chosen in the same way on all months.

    Each takes half of the time. Raises as `choose`, NotFoundError where months are too few to hold some out.
    """
    chosen_on, held_out = split_months(usages["shipped_month"], settings.hold_out_months)
    half = replace(settings, seconds=settings.seconds / 2)
    tested = choose(usages, sent, chosen_on, sizes, costs, half, clock)
    final = choose(usages, sent, (*chosen_on, *held_out), sizes, costs, half, clock, FURTHER)
    return replace(tested, held_out=held_out), final


def choose(
    usages: pd.DataFrame,
    sent: pd.DataFrame,
    months: Sequence[pd.Timestamp],
    sizes: SizeList,
    costs: CostTable,
    settings: Cartons,
    clock: Callable[[], float],
    further: int = 0,
) -> Choice:
    """Sizes chosen on the mean of the demands that the months show, at most `settings.sizes`, with the curve of spend
    up to `further` more of them.

    As far as the seconds go, the choice is proven, and every other number of sizes within CURVE_GAP of the least.
    usages: rows of class_key (from 1), shipped_month, item_type, parcel_count, today_code. sent: all parcels on record,
    as for `growth_table`. Raises InfeasibleError where so few sizes cannot hold all goods.
    """
    past = usages[usages["shipped_month"].isin(months)]
    demands = year_demands(past, sent, costs)
    asked = settings.sizes or past["today_code"].nunique()
    problem = size_problem(sizes, costs, mean_demand(demands), asked + further, settings)
    curve = spend_curve(problem, Limits(seconds=settings.seconds, clock=clock), asked)
    chosen = _of_count(curve, asked)
    size, price = serve(costs.cents, chosen.sizes)
    return Choice(sizes, costs, curve, chosen, price, size, tuple(months), (), demands)


def size_problem(
    sizes: SizeList, costs: CostTable, demand: YearDemand, count: int, settings: Cartons
) -> AssortmentProblem:
    """Which of the sizes to stock for the demand: cents a month, with stocking, new sizes and stock written off."""
    is_new = is_bought(sizes.rows).to_numpy(dtype=float)
    fixed = settings.fixed_cents_per_month + is_new * settings.new_size_cents / MONTHS_OF_A_YEAR
    kept, dropped = (_numbers(sizes, codes) for codes in (settings.keep, settings.drop))
    cents = np.vstack([demand.cents(costs), _written_off(sizes)])
    return AssortmentProblem(cents, fixed, count, kept, dropped)


def is_bought(rows: pd.DataFrame) -> pd.Series:
    """Whether a size is not in stock yet."""
    return rows["size_source"] != "stock"


def stock_cents(rows: pd.DataFrame) -> pd.Series:
    """What the stock on hand of each size has cost; nothing where it is unknown."""
    stock_left = pd.to_numeric(rows["stock_left"], errors="coerce").fillna(0.0).astype(float)
    return stock_left * rows["unit_cost_cents"].astype(float)


def _written_off(sizes: SizeList) -> NDArray[np.float64]:
    """One class per size with stock on hand: free where the size stays, else a twelfth of what the stock has cost."""
    cents = stock_cents(sizes.rows).to_numpy() / MONTHS_OF_A_YEAR
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
    price = choice.price_cents[row] * usages["parcel_count"].to_numpy(dtype=float) - usages["void_cents"].to_numpy()
    part = np.where(usages["shipped_month"].isin(choice.held_out), HELD_OUT, CHOSEN_ON)
    used = usages["today_code"].map({code: at for at, code in enumerate(choice.sizes.rows["size_code"])})
    is_as_sent = np.isnan(price) | (used.isin(choice.chosen.sizes) & (usages["spent_cents"] <= price))
    cents = np.where(is_as_sent, usages["spent_cents"], price).astype(np.int64)
    size = np.where(is_as_sent, used.where(used.isin(choice.chosen.sizes), -1), choice.size[row]).astype(np.int64)
    return usages.assign(saving_part=part, chosen_cents=cents, size=size, is_as_sent=is_as_sent)


def with_sizes(settings: Cartons, sizes: int | None, hold_out_months: int | None) -> Cartons:
    """The settings with what a command says in their place."""
    return replace(
        settings,
        sizes=settings.sizes if sizes is None else sizes,
        hold_out_months=settings.hold_out_months if hold_out_months is None else hold_out_months,
    )
