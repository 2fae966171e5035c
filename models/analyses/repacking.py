"""The same parcels in another packing method: which cartons in stock would hold them, and which is the cheapest.

Between the two halves the caller rates the requests by the one rating. Each parcel goes into the carton, whole or cut
lower, that costs least with its cutting, void fill and postage, for every method alike; so methods differ by their
clearance only, and not by what the bench happened to take.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from models.analyses.question import answer
from models.carton_choice.beaten import beats
from models.carton_choice.void_fill import VoidFill, void_in3, with_void_fill
from models.packing.boxes import Options, options
from models.packing.fit import Verdict
from models.packing.geometry import stocked_carton
from models.packing.needed import Contents, PackedItem, contents
from models.packing.tables import fit_table
from models.plain_rows import as_dicts

TABLE = "analysis.method_carriage"
REQUEST = (
    *("request_id", "carrier", "service", "zone", "shipped_on", "length_in", "width_in", "height_in"),
    *("scale_weight_lb", "is_residential", "destination_prefix", "declared_value_cents"),
)
# What a parcel weighs beside its goods: as it was sent, and in the carton offered.
WEIGHTS = ("used_tare_lb", "used_void_lb", "tare_lb", "void_lb")
COSTS = ("carton_cents", "cut_and_fill_cents", "postage_cents")
GOODS = ["item_type", "piece_count", "clearance_in"]
USED = [f"used_{side}_in" for side in ("length", "width", "height")]
NO_FILL = VoidFill()


@dataclass(frozen=True)
class Stock:
    """The shop's cartons at every height they may have, with price and tare of each, as far as it is stated, and what
    it costs to cut one."""

    offered: Options
    codes: Sequence[str]
    cents: Sequence[int]
    tares_lb: Sequence[float]
    cut_cents: int

    def prices(self, numbers: NDArray[np.int64]) -> NDArray[np.int64]:
        """Cents of the carton of each option."""
        return np.asarray(np.array(self.cents, dtype=np.int64)[self.offered.carton[numbers]])

    def cutting(self, numbers: NDArray[np.int64]) -> NDArray[np.int64]:
        """Cents to cut the carton of each option to its height."""
        return np.where(self.offered.is_cut[numbers], self.cut_cents, 0)

    def tares(self, numbers: NDArray[np.int64]) -> NDArray[np.float64]:
        """Pounds of the carton of each option, not a number where none is stated."""
        return np.asarray(np.array(self.tares_lb, dtype=float)[self.offered.carton[numbers]])


def stock(cartons: pd.DataFrame, cut_cents: int = 0) -> Stock:
    """The cartons that are in force: rows of core.cartons, one each."""
    listed = cartons.sort_values("carton_code")
    made = options([stocked_carton(row) for row in as_dicts(listed)])
    codes, cents = listed["carton_code"].astype(str).tolist(), listed["unit_cost_cents"].astype(int).tolist()
    return Stock(made, codes, cents, listed["tare_lb"].astype(float).tolist(), cut_cents)


def offers(
    parcels: pd.DataFrame,
    items: Mapping[str, PackedItem],
    methods: pd.DataFrame,
    stocked: Stock,
    fill: VoidFill = NO_FILL,
) -> pd.DataFrame:
    """One row per sampled parcel, clearance and carton worth rating: the columns of a rating request, with the weight
    as sent, and WEIGHTS.

    parcels: the query repacked_parcels. methods: the query packing_costs. Goods without known sides are left out.
    """
    known = parcels[parcels["item_type"].isin(list(items))]
    known = known.assign(used_void_lb=[_used_void_in3(row, items) * fill.lb_per_in3 for row in as_dicts(known)])
    asked = known.merge(methods[["clearance_in"]].drop_duplicates(), how="cross")
    goods = asked[GOODS].drop_duplicates()
    listed = [_contents(row, items) for row in as_dicts(goods)]
    if not listed or not len(stocked.offered):
        return pd.DataFrame(columns=[*known.columns, *answer(TABLE).columns, *REQUEST, *WEIGHTS]).loc[
            :, lambda rows: ~rows.columns.duplicated()
        ]
    answers = fit_table(listed, stocked.offered.inside_in) == Verdict.FITS
    fitting = [_worth_rating(row, stocked) for row in answers]
    pairs = (
        goods.assign(option_key=pd.Series(fitting, goods.index), contents_key=range(len(goods)))
        .explode("option_key")
        .dropna(subset=["option_key"])
        .astype({"option_key": "int64"})
    )
    filled = with_void_fill(pairs, dict(enumerate(listed)), stocked.offered.inside_in, fill)
    return _requests(asked.merge(filled, on=GOODS, how="inner"), stocked)


def _used_void_in3(row: Mapping[str, Any], items: Mapping[str, PackedItem]) -> float:
    """Room left in the carton that a parcel was sent in; nothing where carton or method are not known."""
    inside = [row[name] for name in USED]
    if pd.isna([*inside, row["used_clearance_in"]]).any():
        return 0.0
    sent = _contents({**row, "clearance_in": row["used_clearance_in"]}, items)
    return float(void_in3(sent, np.array([inside], dtype=float))[0])


def _contents(row: Mapping[str, Any], items: Mapping[str, PackedItem]) -> Contents:
    return contents([(items[row["item_type"]], int(row["piece_count"]))], float(row["clearance_in"]))


def _worth_rating(fits: Any, stocked: Stock) -> list[int]:
    """Options that fit and that no other beats which fits too."""
    numbers = np.flatnonzero(fits)
    cents = stocked.prices(numbers) + stocked.cutting(numbers)
    beaten = beats(stocked.offered.outside_in[numbers], cents, stocked.tares(numbers)).any(axis=0)
    return [int(number) for number in numbers[~beaten]]


def _requests(rows: pd.DataFrame, stocked: Stock) -> pd.DataFrame:
    option = rows["option_key"].to_numpy()
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
        carton_cents=stocked.prices(option),
        cut_and_fill_cents=stocked.cutting(option) + rows["void_cents"],
        tare_lb=stocked.tares(option),
    )


def carriage_cents(rated: pd.DataFrame) -> pd.Series:
    """Sum of COSTS of each row, unknown where one of them is."""
    return rated[[*COSTS]].astype("Float64").sum(axis=1, skipna=False)


def cheapest(rated: pd.DataFrame, methods: pd.DataFrame) -> pd.DataFrame:
    """analysis.method_carriage: for each parcel and method the cheapest offer.

    rated: the rows of `offers` with `postage_cents`, unknown where the tariff gives no price. An offer without a price
    is taken only where none has one.
    """
    if rated.empty:
        return answer(TABLE)
    ranked = rated.assign(total=carriage_cents(rated).fillna(1e15)).sort_values(
        ["total", "carton_cents", "carton_code"], kind="stable"
    )
    best = ranked.drop_duplicates(["parcel_id", "clearance_in"])
    rows = best.merge(methods[["packing_method", "clearance_in"]], on="clearance_in")
    return answer(TABLE, rows.sort_values(["parcel_id", "packing_method"], ignore_index=True))
