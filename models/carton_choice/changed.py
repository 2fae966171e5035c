"""Which parcels change their carton, from which to which, in the last twelve months."""

import numpy as np
import pandas as pd

from models.carton_choice.choosing import Choice
from models.carton_choice.ladder import best_from_stock
from models.carton_choice.offers import Offers

# What a usage is known by, and what is said of its change: the carton used by today's code.
USAGE = ["class_key", "shipped_month", "shipped_week", "item_type", "packing_method", "carton_code", "used_height_in"]
CHANGE = ["item_type", "today_code", "best_carton_code", "size_source", "is_cut", "is_saving_alone"]
COLUMNS = [*USAGE, "option_key", "price_cents", "saving_cents", *CHANGE[1:]]
MONTHS = 12


def recent(rows: pd.DataFrame, usages: pd.DataFrame) -> pd.DataFrame:
    """The rows of the last twelve months that the usages know, as the list of actions counts them."""
    last = pd.to_datetime(usages["shipped_month"]).max()
    return rows[pd.to_datetime(rows["shipped_month"]) > last - pd.DateOffset(months=MONTHS)]


def changed_in_stock(usages: pd.DataFrame, choices: pd.DataFrame, offers: pd.DataFrame) -> pd.DataFrame:
    """COLUMNS of the usages that another carton from stock, or a cut, makes cheaper: option_key is the offer that they
    go into, price_cents what a parcel then costs, saving_cents what all of them save.

    usages: `ladder.priced_usages`.
    """
    better = usages[usages["cut down"] < usages["spent"]]
    rows = better.merge(best_from_stock(choices, offers), on="class_key")
    saved = rows["spent"] - rows["cut down"]
    return rows.assign(size_source="stock", is_saving_alone=True, saving_cents=saved)[COLUMNS]


def changed_to_sizes(served: pd.DataFrame, choice: Choice, offered: Offers) -> pd.DataFrame:
    """The same of the parcels that go into one of the chosen sizes; is_saving_alone: of their row of
    `moves.chosen_cartons`.

    served: `choosing.served` of the choice.
    """
    rows = served[~served["is_as_sent"]]
    taken = rows["class_key"].to_numpy(dtype=np.int64) - 1, rows["size"].to_numpy(dtype=np.int64)
    options = choice.costs.option[taken]
    offers = offered.rows.iloc[options]
    found = rows.assign(
        option_key=options,
        price_cents=choice.price_cents[taken[0]].astype(np.int64),
        best_carton_code=offers["carton_code"].to_numpy(),
        best_height_in=offers["inside_height_in"].to_numpy(),
        size_source=choice.sizes.rows["size_source"].to_numpy()[taken[1]],
        is_cut=offers["cut_height_in"].notna().to_numpy(),
        saving_cents=rows["spent_cents"] - rows["chosen_cents"],
    )
    cell = [name for name in USAGE if name not in ("class_key", "shipped_week")]
    cells = found.groupby([*cell, "contents_key", "best_carton_code", "best_height_in", "is_cut"], dropna=False)
    return found.assign(is_saving_alone=cells["saving_cents"].transform("sum") > 0)[COLUMNS]
