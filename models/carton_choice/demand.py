"""What parcels need: contents by their goods and clearance, or, where a side is unknown, by the carton they were in."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from models.columns.goods import LEARNED
from models.packing.needed import Bundle, Contents, PackedItem, contents, packed_item
from models.plain_rows import as_dicts

if TYPE_CHECKING:
    import pandas as pd

# Between the fields of a line of goods and between its lines; no record may hold them (models/fields.py).
FIELD, LINE = "\x1f", "\x1e"
UNKNOWN_GOODS = "goods of unknown sides"
# Contents of several pieces that are fitted, the most frequent first; rarer ones are taken as they were sent.
MOST_MIXED = 400


def items_by_type(item_types: pd.DataFrame, bundles: pd.DataFrame) -> dict[str, PackedItem]:
    """The pieces that `item_types` describes, by name, with what `bundles` (analysis.bundles) says of several."""
    together: dict[str, list[Bundle]] = {}
    for row in as_dicts(bundles):
        together.setdefault(str(row["item_type"]), []).append(_bundle(row))
    return {
        str(row["item_type"]): packed_item(row, together.get(str(row["item_type"]), ())) for row in as_dicts(item_types)
    }


def _bundle(row: Mapping[str, object]) -> Bundle:
    length, width, height = (float(str(row[f"bundle_{side}_in"])) for side in ("length", "width", "height"))
    clearance = float(str(row["clearance_in"])) if row["bundle_source"] == LEARNED else None
    return Bundle(int(str(row["bundled_count"])), length, width, height, str(row["turns"]), clearance)


def contents_by_key(known: pd.DataFrame, items: Mapping[str, PackedItem]) -> dict[int, Contents]:
    """Contents by contents_key, from the columns of the query `contents`, the most frequent first.

    Goods of unknown sides are one block as large as the inside that held them: what holds that inside holds them too,
    whatever they are. The block keeps its height, since nothing says that they may be turned.
    """
    return {int(row["contents_key"]): _contents(row, items) for row in as_dicts(known)}


def _contents(row: Mapping[str, object], items: Mapping[str, PackedItem]) -> Contents:
    if not isinstance(row["goods"], str):
        return bounded(*(float(str(row[f"bound_{side}_in"])) for side in ("length", "width", "height")))
    lines = [line.split(FIELD) for line in row["goods"].split(LINE)]
    return contents([(items[name], int(quantity)) for name, quantity in lines], float(str(row["clearance_in"])))


def bounded(length_in: float, width_in: float, height_in: float) -> Contents:
    """Goods of unknown sides that an inside of these sides held."""
    block = PackedItem(UNKNOWN_GOODS, length_in, width_in, height_in, "upright", may_lie_under=False)
    return contents([(block, 1)])


def is_bounded(packed: Contents) -> bool:
    """Whether the contents are a block of goods of unknown sides."""
    return packed.lines[0][0].item_type == UNKNOWN_GOODS


def is_single(packed: Contents) -> bool:
    """Whether there is one piece only."""
    return len(packed.lines) == 1 and packed.lines[0][1] == 1


def in_words(packed: Contents) -> str:
    """Contents for a reader: `1 mount head, 2 counterweight`."""
    if is_bounded(packed):
        return UNKNOWN_GOODS
    return ", ".join(f"{quantity} {item.item_type}" for item, quantity in packed.lines)[:200]


def looked_at(many: Mapping[int, Contents]) -> dict[int, Contents]:
    """All contents of one piece, and the first MOST_MIXED of several."""
    mixed = [key for key, packed in many.items() if not is_single(packed)][MOST_MIXED:]
    return {key: packed for key, packed in many.items() if key not in set(mixed)}
