"""The same parcels in another packing method: which cartons in stock would hold them, and which is the cheapest.

Between the two halves the caller rates the requests by the one rating. Each parcel goes into the carton, whole or cut
lower, that costs least with its postage, for every method alike; so methods differ by their clearance only, and not by
what the bench happened to take.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd

from models.analyses.question import answer
from models.packing.boxes import Options, options
from models.packing.fit import Verdict
from models.packing.geometry import stocked_carton
from models.packing.needed import Contents, PackedItem, contents
from models.packing.tables import fit_table
from models.rows import as_dicts

TABLE = "analysis.method_carriage"
REQUEST = (
    *("request_id", "carrier", "service", "zone", "shipped_on", "length_in", "width_in", "height_in"),
    *("scale_weight_lb", "is_residential", "destination_prefix", "declared_value_cents"),
)
GOODS = ["item_type", "piece_count", "clearance_in"]


@dataclass(frozen=True)
class Stock:
    """The shop's cartons at every height they may have, with the price of each."""

    offered: Options
    codes: Sequence[str]
    cents: Sequence[int]


def stock(cartons: pd.DataFrame) -> Stock:
    """The cartons that are in force: rows of core.cartons, one each."""
    listed = as_dicts(cartons.sort_values("carton_code"))
    made = options([stocked_carton(row) for row in listed])
    return Stock(made, [str(row["carton_code"]) for row in listed], [int(row["unit_cost_cents"]) for row in listed])


def offers(
    parcels: pd.DataFrame, items: Mapping[str, PackedItem], methods: pd.DataFrame, stocked: Stock
) -> pd.DataFrame:
    """One row per sampled parcel, clearance and carton worth rating, with the columns of a rating request.

    parcels: the query repacked_parcels. methods: the query packing_costs. Goods without known sides are left out.
    """
    known = parcels[parcels["item_type"].isin(list(items))]
    asked = known.merge(methods[["clearance_in"]].drop_duplicates(), how="cross")
    goods = asked[GOODS].drop_duplicates()
    listed = [_contents(row, items) for row in as_dicts(goods)]
    if not listed or not len(stocked.offered):
        return pd.DataFrame(columns=[*known.columns, *answer(TABLE).columns, *REQUEST]).loc[
            :, lambda rows: ~rows.columns.duplicated()
        ]
    answers = fit_table(listed, stocked.offered.inside_in) == Verdict.FITS
    fitting = [_worth_rating(row, stocked) for row in answers]
    pairs = (
        goods.assign(option=pd.Series(fitting, goods.index))
        .explode("option")
        .dropna(subset=["option"])
        .astype({"option": "int64"})
    )
    return _requests(asked.merge(pairs, on=GOODS, how="inner"), stocked)


def _contents(row: Mapping[str, Any], items: Mapping[str, PackedItem]) -> Contents:
    return contents([(items[row["item_type"]], int(row["piece_count"]))], float(row["clearance_in"]))


def _worth_rating(fits: Any, stocked: Stock) -> list[int]:
    """Options that fit and that no other beats on carton price and every outside side."""
    numbers = np.flatnonzero(fits)
    cost = np.array(stocked.cents, dtype=float)[stocked.offered.carton[numbers]]
    marks = np.column_stack([stocked.offered.outside_in[numbers], cost])
    no_worse = (marks[:, None, :] <= marks[None, :, :]).all(axis=2)
    better = no_worse & ((marks[:, None, :] < marks[None, :, :]).any(axis=2) | _earlier(len(numbers)))
    return [int(number) for number in numbers[~better.any(axis=0)]]


def _earlier(count: int) -> Any:
    """Of equals the first stays."""
    return np.triu(np.ones((count, count), dtype=bool), 1)


def _requests(rows: pd.DataFrame, stocked: Stock) -> pd.DataFrame:
    option = rows["option"].to_numpy()
    carton = stocked.offered.carton[option]
    outside = stocked.offered.outside_in[option]
    cut = np.where(stocked.offered.is_cut[option], stocked.offered.cut_height_in[option], np.nan)
    return rows.assign(
        request_id=[str(number) for number in range(len(rows))],
        length_in=outside[:, 0],
        width_in=outside[:, 1],
        height_in=outside[:, 2],
        carton_code=np.array(stocked.codes, dtype=object)[carton],
        cut_height_in=cut,
        carton_cents=np.array(stocked.cents, dtype=np.int64)[carton],
    )


def cheapest(rated: pd.DataFrame, methods: pd.DataFrame) -> pd.DataFrame:
    """analysis.method_carriage: for each parcel and method the cheapest offer.

    rated: the rows of `offers` with `postage_cents`, unknown where the tariff gives no price. An offer without a price
    is taken only where none has one.
    """
    if rated.empty:
        return answer(TABLE)
    total = rated["carton_cents"].astype("Float64") + rated["postage_cents"].astype("Float64")
    ranked = rated.assign(total=total.fillna(1e15)).sort_values(["total", "carton_cents", "carton_code"], kind="stable")
    best = ranked.drop_duplicates(["parcel_id", "clearance_in"])
    rows = best.merge(methods[["packing_method", "clearance_in"]], on="clearance_in")
    return answer(TABLE, rows.sort_values(["parcel_id", "packing_method"], ignore_index=True))
