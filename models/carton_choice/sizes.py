"""Which sizes come into question, and what each class costs in each of them."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from models.assortment import candidate_sizes
from models.assortment.candidates import round_up
from models.carton_choice.demand import is_single
from models.carton_choice.fits import made_to_measure
from models.carton_choice.offers import Making
from models.packing.needed import Contents, needed_sizes
from models.settings.cartons import Cartons
from models.shop_units import LENGTH, Units

Sizes = NDArray[np.float64]
INSIDE = ["inside_length_in", "inside_width_in", "inside_height_in"]
COLUMNS = ["size_code", "size_source", *INSIDE, "board_in", "unit_cost_cents"]
COLUMNS += ["minimum_order", "pack_quantity", "stock_left"]


@dataclass(frozen=True)
class SizeList:
    """Sizes that come into question, stocked ones first, one row each (COLUMNS), and in words which ones they are."""

    rows: pd.DataFrame
    statement: str

    @property
    def insides_in(self) -> Sizes:
        """Inside sides, n x 3."""
        return np.asarray(self.rows[INSIDE], dtype=float)


def size_list(
    catalogue: pd.DataFrame,
    supplier: pd.DataFrame,
    contents: Iterable[Contents],
    made: Making,
    settings: Cartons,
    units: Units,
) -> SizeList:
    """Stocked sizes by their latest entry, the supplier's, then new ones that the demand can need.

    supplier: columns size_code, INSIDE, unit_cost_cents, pack_quantity; may have no rows. units: in which new sizes are
    named.
    """
    known = pd.concat(
        [
            _stocked(catalogue),
            supplier.assign(size_source="supplier", stock_left=pd.Series(pd.NA, supplier.index, dtype=object)),
        ],
        ignore_index=True,
    )
    known = known.drop_duplicates("size_code")
    turned = -np.sort(-known[INSIDE].to_numpy(dtype=float), axis=1)
    needs = [need for packed in contents for need in _needs(packed)]
    lying = -np.sort(-np.array(needs, dtype=float).reshape(-1, 3), axis=1)
    found = candidate_sizes(lying, units, settings.candidate_step_in, turned, settings.max_candidates)
    insides = np.vstack([found.sizes_in[found.stocked :], _standing(needs, found.step_in)])
    rows = pd.concat([known[COLUMNS], _new(np.unique(insides, axis=0), made, units)], ignore_index=True)
    return SizeList(rows, found.statement)


def _stocked(catalogue: pd.DataFrame) -> pd.DataFrame:
    latest = catalogue[catalogue["is_current"]]
    named = latest.rename(columns={"carton_code": "size_code"})
    return named.assign(size_source="stock")[COLUMNS]


def _needs(packed: Contents) -> list[tuple[float, float, float]]:
    if is_single(packed):
        return list(needed_sizes(packed.lines[0][0], packed.clearance_in))
    return [(row[0], row[1], row[2]) for row in made_to_measure(packed).tolist()]


def _standing(needs: list[tuple[float, float, float]], step_in: float) -> Sizes:
    """The needs that stand taller than they are wide, rounded up as they stand: lying cartons might not hold them."""
    tall = [need for need in needs if need[2] > need[1]]
    return round_up(np.array(tall, dtype=float).reshape(-1, 3), step_in)


def _new(insides: Sizes, made: Making, units: Units) -> pd.DataFrame:
    sides = [(row[0], row[1], row[2]) for row in insides.tolist()]
    return pd.DataFrame(
        {
            "size_code": [f"new {' x '.join(units.written(LENGTH, side) for side in three)}" for three in sides],
            "size_source": "new",
            **{name: insides[:, axis] for axis, name in enumerate(INSIDE)},
            "unit_cost_cents": [made.unit_cost_cents(three) for three in sides],
            **dict.fromkeys(("board_in", "minimum_order", "pack_quantity", "stock_left"), pd.NA),
        }
    )


@dataclass(frozen=True, eq=False)
class Announced:
    """cents: as in a CostTable, by the price lists announced. from_on: n days from which each class is priced by one,
    none where its carrier has announced nothing."""

    cents: Sizes
    from_on: NDArray[np.datetime64]


@dataclass(frozen=True, eq=False)
class CostTable:
    """cents: classes x sizes for one parcel, inf where it does not fit or is refused. option: the offer behind each."""

    cents: Sizes
    option: NDArray[np.int64]
    announced: Announced | None = None


def cost_table(prices: pd.DataFrame, size_of_option: Mapping[int, int], classes: int, sizes: int) -> CostTable:
    """The cheapest offer of each size for each class.

    prices: class_key (from 1), option_key, price_cents. size_of_option: number of the size of each offer.
    """
    size = prices["option_key"].map(dict(size_of_option)).to_numpy(dtype=np.int64)
    row = prices["class_key"].to_numpy(dtype=np.int64) - 1
    price = prices["price_cents"].to_numpy(dtype=float)
    order = np.lexsort((price, size, row))
    first = np.unique(row[order] * sizes + size[order], return_index=True)[1]
    cheapest = order[first]
    cents, option = np.full((classes, sizes), np.inf), np.full((classes, sizes), -1, dtype=np.int64)
    cents[row[cheapest], size[cheapest]] = price[cheapest]
    option[row[cheapest], size[cheapest]] = prices["option_key"].to_numpy(dtype=np.int64)[cheapest]
    return CostTable(cents, option)
