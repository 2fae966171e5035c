"""What the sizes chosen would have saved, also on months held out, and what they cost: the tables of a choice."""

from math import isnan

import pandas as pd

from models.assortment import bootstrap_saving
from models.carton_choice.choosing import Choice, is_bought, stock_cents
from models.settings.cartons import Cartons

# Of the intervals of a saving.
LEVELS = (0.95, 0.8)


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
    left = stock_cents(stocked[~stocked["size_code"].isin(chosen["size_code"])]).sum()
    return {
        "stocking_month_cents": settings.fixed_cents_per_month * (len(chosen) - len(stocked)),
        "once_cost_cents": settings.new_size_cents * int(is_bought(chosen).sum()) + round(float(left)),
    }
