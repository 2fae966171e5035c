"""How a size is sold and what keeping it costs, from its row; an order as cells of a row."""

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
import pandas as pd

from models.carton_choice.lots import Holding, Supply, economic_lot, lot_for
from models.carton_choice.offers import USUAL_BOARD_IN, blank_in2
from models.carton_choice.order_words import LEAST_COST, MONTHS_OF_STOCK
from models.plain_rows import as_dicts
from models.settings.cartons import Cartons

IN3_PER_FT3 = 1728
MONTHS_OF_A_YEAR = 12
# Of one carton: fewest pieces of an order and cents each.
PriceSteps = Sequence[tuple[int, float]]
Row = Mapping[str, Any]


def steps_by_code(steps: pd.DataFrame) -> dict[str, PriceSteps]:
    """The price steps of each carton. steps: carton_code, minimum_quantity, unit_cost_cents."""
    found: dict[str, list[tuple[int, float]]] = {}
    for row in as_dicts(steps):
        found.setdefault(str(row["carton_code"]), []).append((int(row["minimum_quantity"]), row["unit_cost_cents"]))
    return dict(found)


def supply_of(row: Row, steps: PriceSteps) -> Supply:
    """How a size is sold. row: unit_cost_cents, minimum_order, pack_quantity; what is unknown limits nothing."""
    minimum, pack = (whole(row[name]) or 1 for name in ("minimum_order", "pack_quantity"))
    return Supply(float(row["unit_cost_cents"]), steps, minimum, pack)


def holding_of(row: Row, settings: Cartons) -> Holding:
    """What ordering and keeping a size costs, as the shop states it."""
    stored = settings.storage_month_cents_per_ft3 * MONTHS_OF_A_YEAR * folded_ft3(row)
    return Holding(settings.order_cost_cents, stored, settings.interest_per_year)


def folded_ft3(row: Row) -> float:
    """Volume of one carton stored flat: its blank, as thick as its board. row: inside sides and board."""
    length, width, height = (float(row[f"inside_{side}_in"]) for side in ("length", "width", "height"))
    board_in: float = USUAL_BOARD_IN if pd.isna(row["board_in"]) else float(row["board_in"])
    return blank_in2((length, width, height)) * board_in / IN3_PER_FT3


def ordered(
    row: Row, steps: PriceSteps, settings: Cartons, yearly_use: float, wanted: float, least: float
) -> dict[str, Any]:
    """The next order: the lot that costs least in a year where the shop states what ordering and keeping cost, but at
    least what is missing; else the pieces wanted. row: a size, with what `supply_of` and `holding_of` read."""
    supply, holding = supply_of(row, steps), holding_of(row, settings)
    is_economic = holding.is_stated()
    count = economic_lot(yearly_use, supply, holding, least) if is_economic else lot_for(wanted, yearly_use, supply)
    price = float(supply.price_cents(np.array([count], dtype=float))[0])
    stored = round(holding.storage_year_cents / MONTHS_OF_A_YEAR * count / 2)
    return {
        "order_count": count,
        "order_unit_cents": round(price),
        "order_cents": round(count * price),
        "order_months": count / yearly_use * MONTHS_OF_A_YEAR,
        "order_basis": LEAST_COST if is_economic else MONTHS_OF_STOCK,
        "storage_month_cents": stored if settings.storage_month_cents_per_ft3 > 0 else None,
        "order_keep_cents": _keep_cents(holding, count, price, yearly_use),
    }


def _keep_cents(holding: Holding, count: int, price: float, yearly_use: float) -> int | None:
    """Storage and interest of an order until its last piece is used, half of it on average; None where not stated."""
    yearly = holding.storage_year_cents + holding.interest * price
    return round(yearly * count / 2 * count / yearly_use) if yearly > 0 else None


def whole(cell: Any) -> int | None:
    """A count, None where it is not known."""
    return None if cell is None or pd.isna(cell) else int(cell)
