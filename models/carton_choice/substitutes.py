"""What stands in for a carton that has run out, or is hard to order: the cheapest other one for the same contents."""

from collections.abc import Mapping

import pandas as pd

GROUP = ["carton_code", "contents_key", "packing_method"]
COLUMNS = (
    *("carton_code", "contents", "packing_method", "parcel_count", "substitute_code", "substitute_left", "is_cut"),
    *("best_height_in", "extra_cents", "extra_per_parcel_cents"),
)


def substitutes(
    sent: pd.DataFrame, prices: pd.DataFrame, offers: pd.DataFrame, left: Mapping[str, int], words: Mapping[int, str]
) -> pd.DataFrame:
    """analysis.carton_substitutes: one row per carton, contents, packing method and carton that stands in.

    sent: rows of GROUP, class_key, parcel_count, spent_cents, void_cents: parcels in the cartons asked about. prices:
    class_key, option_key, price_cents of the offers from what has not run out. left: pieces of each carton; unknown
    ones are not in it. Contents that nothing else holds have no carton.
    """
    sums = sent.groupby(GROUP, as_index=False)[["parcel_count", "spent_cents", "void_cents"]].sum()
    wanted = sums.assign(spent_cents=sums["spent_cents"] + sums["void_cents"])
    rows = wanted.merge(_best(sent, prices, offers), on=[*GROUP, "parcel_count"], how="left")
    rows = rows.merge(_named(offers), on="option_key", how="left")
    rows["contents"] = rows["contents_key"].map(dict(words)).fillna("contents not looked at")
    rows["substitute_left"] = rows["substitute_code"].map(dict(left))
    rows["extra_cents"] = rows["total_cents"] - rows["spent_cents"]
    by = ["carton_code", "contents", "packing_method", "substitute_code", "substitute_left", "is_cut", "best_height_in"]
    found = rows.groupby(by, dropna=False, as_index=False)[["parcel_count", "extra_cents"]].sum(min_count=1)
    found["extra_per_parcel_cents"] = (found["extra_cents"] / found["parcel_count"]).round()
    return found.sort_values(["carton_code", "parcel_count"], ascending=[True, False])[list(COLUMNS)]


def _best(sent: pd.DataFrame, prices: pd.DataFrame, offers: pd.DataFrame) -> pd.DataFrame:
    """The offer of another carton that takes all parcels of a group for the least, of equal ones the first."""
    named = offers[["option_key", "carton_code"]].rename(columns={"carton_code": "offered_code"})
    priced = sent.merge(prices, on="class_key").merge(named, on="option_key")
    priced = priced[priced["offered_code"] != priced["carton_code"]].copy()
    priced["total_cents"] = priced["price_cents"] * priced["parcel_count"]
    sums = priced.groupby([*GROUP, "option_key"], as_index=False)[["parcel_count", "total_cents"]].sum()
    whole = sent.groupby(GROUP, as_index=False)["parcel_count"].sum()
    taking = sums.merge(whole, on=[*GROUP, "parcel_count"])
    return taking.sort_values(["total_cents", "option_key"]).drop_duplicates(GROUP)


def _named(offers: pd.DataFrame) -> pd.DataFrame:
    named = offers.rename(columns={"carton_code": "substitute_code", "inside_height_in": "best_height_in"})
    named["is_cut"] = named["option_kind"] == "cut"
    return named[["option_key", "substitute_code", "best_height_in", "is_cut"]]
