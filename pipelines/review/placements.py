"""How the goods of one parcel lie in the carton used, and in the cheaper one from stock."""

from __future__ import annotations

from typing import TYPE_CHECKING

from models.carton_choice.demand import in_words, items_by_type
from models.carton_choice.placements import Box, placement_rows, placement_tables
from models.errors import NotFoundError
from models.packing.needed import Contents, contents
from models.plain_rows import as_dicts, plain
from models.shop_units import Units
from models.sql_texts import sql_texts
from pipelines.shop import warehouse
from pipelines.shop.warehouse import plain_rows

if TYPE_CHECKING:
    import pandas as pd

AFFECTED = "the placement of its goods"
# What core.packed_lines calls goods that no sale names.
UNKNOWN = "unknown"


def placed(connection: warehouse.Connection, parcel_id: str, units: Units) -> dict[str, pd.DataFrame]:
    """The tables of models/tables/cartons.py for one parcel, by name.

    Raises NotFoundError where the parcel, what it held, its pieces' sides, its packing method's clearance or its carton
    is not known.
    """
    return placement_tables(*_looked_at(connection, parcel_id), units)


def placed_rows(connection: warehouse.Connection, parcel_id: str, units: Units) -> dict[str, pd.DataFrame]:
    """The same as plain rows, to say."""
    return placement_rows(*_looked_at(connection, parcel_id), units)


def _looked_at(connection: warehouse.Connection, parcel_id: str) -> tuple[Contents, list[Box]]:
    texts = sql_texts("explaining")
    packed = _packed(connection, plain_rows(connection, texts["goods"], [parcel_id]), parcel_id)
    asked = {"parcel_id": parcel_id, "contents": in_words(packed)}
    boxes = [_box(row) for row in as_dicts(plain_rows(connection, texts["boxes"], asked))]
    if not boxes:
        raise _lacking(parcel_id, "its carton is not in the catalogue of its day", "add the carton to cartons")
    return packed, boxes


def _packed(connection: warehouse.Connection, goods: pd.DataFrame, parcel_id: str) -> Contents:
    if goods.empty:
        raise _lacking(parcel_id, "no bench row says what it held", "check the number, or the bench log")
    if not goods["has_bench_log"].all():
        raise _lacking(parcel_id, "no bench row says how it was packed", "add it to the bench log")
    if (goods["item_type"] == UNKNOWN).any():
        raise _lacking(
            parcel_id, "no sale on record says what its goods are", "take in its sale, or map its SKU in skus"
        )
    unsized = goods[goods["length_in"].isna()]["item_type"]
    if len(unsized):
        raise _lacking(parcel_id, f"the packed sides of {', '.join(unsized)} are not known", "add them to item_types")
    if goods["clearance_in"].isna().any():
        raise _lacking(parcel_id, "its packing method's clearance is not known", "state it in packing_methods")
    item_types = plain_rows(connection, "select * from accepted.item_types order by item_type")
    items = items_by_type(item_types, _bundles(connection))
    lines = zip(goods["item_type"], map(int, goods["packed_quantity"]), strict=True)
    return contents([(items[name], quantity) for name, quantity in lines], float(goods["clearance_in"].iloc[0]))


def _bundles(connection: warehouse.Connection) -> pd.DataFrame:
    """None in a warehouse that an older version published."""
    is_known = warehouse.has_table(connection, "analysis.bundles")
    return plain_rows(connection, "select * from analysis.bundles order by all") if is_known else plain(())


def _lacking(parcel_id: str, what: str, next_step: str) -> NotFoundError:
    return NotFoundError(f"parcel {parcel_id}", what, AFFECTED, next_step)


def _box(row: dict[str, object]) -> Box:
    length, width, height = (float(str(row[f"inside_{side}_in"])) for side in ("length", "width", "height"))
    return Box(
        looked_at=str(row["looked_at"]),
        carton_code=str(row["carton_code"]),
        inside_in=(length, width, height),
        is_cut=bool(row["is_cut"]),
        is_rectangular=bool(row["is_rectangular"]),
    )
