"""The ladder: spent, right carton from stock, cut down, made to measure; and which carton would have been better.

Every step may also leave a parcel as it was sent: the carton used did hold the goods, and its cost is known. Void fill
counts by what another carton would take more than the one used.
"""

import pandas as pd

from models.carton_choice.steps import SERVICE, STEPS

BY_KIND = {"right carton from stock": "stocked", "cut down": "cut", "made to measure": "measured"}


def priced_usages(usages: pd.DataFrame, choices: pd.DataFrame) -> pd.DataFrame:
    """Usages with a column per step: cents of the group's parcels when all that the step allows is used.

    usages: rows of the query of that name. choices: class_key, option_kind, price_cents, one row per class and kind.
    """
    prices = choices.pivot(index="class_key", columns="option_kind", values="price_cents")
    rows = usages.copy()
    rows["spent"] = rows["spent_cents"].astype("int64")
    before = rows["spent"]
    for step, kind in BY_KIND.items():
        rows[step] = before = _at_most(before, rows, prices, kind)
    return rows


def _at_most(before: pd.Series, rows: pd.DataFrame, prices: pd.DataFrame, kind: str) -> pd.Series:
    if kind not in prices:
        return before
    price = rows["class_key"].map(prices[kind]) * rows["parcel_count"] - rows["void_cents"]
    return before.where(~(price < before), price).astype("int64")


def with_open_fits(priced: pd.DataFrame, open_prices: pd.DataFrame) -> pd.DataFrame:
    """Priced usages with open_saving_cents: the most that cartons from stock would save of which no fit is proved.

    open_prices: class_key, price_cents of one parcel in each such carton. Against the cheapest proved from stock.
    """
    least = open_prices.groupby("class_key")["price_cents"].min()
    price = priced["class_key"].map(least) * priced["parcel_count"] - priced["void_cents"]
    saving = (priced["cut down"] - price).fillna(0).clip(lower=0)
    return priced.assign(open_saving_cents=saving.astype("int64"))


def with_open_months(coverage: pd.DataFrame, priced: pd.DataFrame) -> pd.DataFrame:
    """Months of the coverage with their open_fit_parcel_count and open_saving_cents.

    priced: rows of `with_open_fits`.
    """
    rows = priced[priced["open_saving_cents"] > 0]
    sums = rows.groupby("shipped_month")[["parcel_count", "open_saving_cents"]].sum()
    found = coverage.merge(sums.add_prefix("found_"), on="shipped_month", how="left")
    return found.assign(
        open_fit_parcel_count=found["found_parcel_count"].fillna(0).astype("int64"),
        open_saving_cents=found["found_open_saving_cents"].fillna(0).astype("int64"),
    )


def carton_ladder(priced: pd.DataFrame) -> pd.DataFrame:
    """One row per month, item type and step, from `priced_usages`; saving_cents against what was spent.

    better_parcel_count: parcels that the step makes cheaper than the step before.
    """
    by = ["shipped_month", "item_type"]
    steps = [step for step in STEPS if step in priced]
    parts = []
    for before, step in zip([steps[0], *steps], steps, strict=False):
        moved = priced["parcel_count"].where(priced[step] < priced[before], 0)
        rows = priced.assign(ladder_cents=priced[step], better_parcel_count=moved)
        sums = rows.groupby(by, as_index=False)[["parcel_count", "ladder_cents", "better_parcel_count", "spent"]].sum()
        parts.append(sums.assign(ladder_step=step, rung=STEPS.index(step)))
    ladder = pd.concat(parts, ignore_index=True)
    ladder["saving_cents"] = ladder["spent"] - ladder["ladder_cents"]
    return ladder.drop(columns="spent").sort_values([*by, "rung"], ignore_index=True)


def with_best_sizes(ladder: pd.DataFrame, kept: pd.DataFrame) -> pd.DataFrame:
    """The ladder with the step of the chosen sizes, for months and item types whose parcels are those chosen for.

    kept: rows of analysis.assortment_ladder; none where no sizes were ever chosen.
    """
    by = ["shipped_month", "item_type"]
    same = kept.merge(ladder[[*by, "parcel_count"]].drop_duplicates(by), on=[*by, "parcel_count"])
    if same.empty:
        return ladder
    step = same.assign(ladder_step="best sizes", rung=STEPS.index("best sizes"))[list(ladder.columns)]
    return pd.concat([ladder, step], ignore_index=True).sort_values([*by, "rung"], ignore_index=True)


def with_right_service(ladder: pd.DataFrame, saved: pd.DataFrame) -> pd.DataFrame:
    """The ladder with the step of the cheapest service, everything else as it was sent; none where nothing is compared.

    saved: shipped_month, item_type, better_parcel_count, saving_cents of the ladder's own parcels.
    """
    if saved.empty:
        return ladder
    by = ["shipped_month", "item_type"]
    spent = ladder[ladder["ladder_step"] == STEPS[0]].drop(columns=["better_parcel_count", "saving_cents"])
    step = spent.merge(saved, on=by, how="left").fillna({"better_parcel_count": 0, "saving_cents": 0})
    step["ladder_cents"] -= step["saving_cents"].astype("int64")
    step = step.assign(ladder_step=SERVICE, rung=STEPS.index(SERVICE))[list(ladder.columns)]
    return pd.concat([ladder, step], ignore_index=True).sort_values([*by, "rung"], ignore_index=True)


def ladder_months(ladder: pd.DataFrame) -> pd.DataFrame:
    """The ladder over all item types: one row per month and step that every parcel of the month has."""
    by = ["shipped_month", "ladder_step", "rung"]
    sums = ladder.groupby(by, as_index=False)[
        ["parcel_count", "better_parcel_count", "ladder_cents", "saving_cents"]
    ].sum()
    whole = sums.groupby("shipped_month")["parcel_count"].transform("max")
    return sums[sums["parcel_count"] == whole].sort_values(["shipped_month", "rung"], ignore_index=True)


def best_cartons(
    priced: pd.DataFrame, choices: pd.DataFrame, offers: pd.DataFrame, contents_in_words: dict[int, str]
) -> pd.DataFrame:
    """One row per month, item type, contents, packing method, carton used and best carton from stock.

    The best is the carton used, at its height, wherever nothing from stock is cheaper. is_cut: it is to be cut to
    best_height_in.
    """
    rows = priced.merge(best_from_stock(choices, offers), on="class_key", how="left")
    rows["contents"] = rows["contents_key"].map(contents_in_words).fillna("contents not looked at")
    is_better = rows["cut down"] < rows["spent"]
    for name, used in (("best_carton_code", "carton_code"), ("best_height_in", "used_height_in")):
        rows[name] = rows[name].where(is_better, rows[used])
    rows["is_cut"] = rows["is_cut"].eq(True) & is_better
    by = ["shipped_month", "item_type", "contents", "packing_method", "carton_code", "used_height_in"]
    by += ["best_carton_code", "best_height_in", "is_cut"]
    rows["best_cents"] = rows["cut down"]
    found = rows.groupby(by, dropna=False, as_index=False)[["parcel_count", "spent_cents", "best_cents"]].sum()
    found["saving_cents"] = found["spent_cents"] - found["best_cents"]
    return found


def best_from_stock(choices: pd.DataFrame, offers: pd.DataFrame) -> pd.DataFrame:
    """Per class the cheaper of the best whole and the best cut carton, with its price; a cut must save something."""
    stocked = choices[choices["option_kind"].isin(["stocked", "cut"])]
    first = stocked.sort_values(["class_key", "price_cents", "option_kind"], ascending=[True, True, False])
    named = offers[["option_key", "carton_code", "inside_height_in", "option_kind"]].rename(
        columns={"carton_code": "best_carton_code", "inside_height_in": "best_height_in", "option_kind": "kind"}
    )
    best = first.drop_duplicates("class_key").merge(named, on="option_key", validate="many_to_one")
    told = ["class_key", "option_key", "price_cents", "best_carton_code", "best_height_in", "is_cut"]
    return best.assign(is_cut=best["kind"] == "cut")[told]
