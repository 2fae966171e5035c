"""Which of the sizes to stock each parcel would have had: the same table as that of the cartons in stock today."""

from collections.abc import Mapping

import pandas as pd

from models.carton_choice.choosing import Choice
from models.carton_choice.offers import Offers


def chosen_cartons(
    served: pd.DataFrame, choice: Choice, offered: Offers, contents_in_words: Mapping[int, str]
) -> pd.DataFrame:
    """One row per month, item type, contents, packing method, carton used and carton of the sizes to stock.

    served: `choosing.served` of the choice, with contents_key. offered: the offers that the costs number. A parcel that
    stays as it was sent has its own carton at its own height.
    """
    rows = served.copy()
    rows["contents"] = rows["contents_key"].map(dict(contents_in_words)).fillna("contents not looked at")
    sizes = choice.sizes.rows
    moved = ~rows["is_as_sent"]
    taken = rows.loc[moved, "class_key"].to_numpy() - 1, rows.loc[moved, "size"].to_numpy()
    offers = offered.rows.iloc[choice.costs.option[taken]]
    rows["size_code"], rows["size_source"] = rows["carton_code"], "stock"
    rows["best_height_in"], rows["is_cut"] = rows["used_height_in"], False
    rows.loc[moved, "size_code"] = offers["carton_code"].to_numpy()
    rows.loc[moved, "size_source"] = sizes["size_source"].to_numpy()[taken[1]]
    rows.loc[moved, "best_height_in"] = offers["inside_height_in"].to_numpy()
    rows.loc[moved, "is_cut"] = offers["cut_height_in"].notna().to_numpy()
    by = ["shipped_month", "item_type", "contents", "packing_method", "carton_code", "used_height_in"]
    by += ["size_code", "size_source", "best_height_in", "is_cut"]
    rows["best_cents"] = rows["chosen_cents"]
    found = rows.groupby(by, dropna=False, as_index=False)[["parcel_count", "spent_cents", "best_cents"]].sum()
    found["saving_cents"] = found["spent_cents"] - found["best_cents"]
    return found
