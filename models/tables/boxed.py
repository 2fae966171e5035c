"""Contracts of parcels as the choice of cartons sees them: goods, ways, and who went which way with what."""

from __future__ import annotations

import pandera.pandas as pa

from models.contracts import contract
from models.fields import (
    date,
    fact_key,
    inches,
    joined_text,
)
from models.tables.rating import WAYS
from models.tables.vocabulary import columns

_WORDS: dict[str, pa.Column] = WAYS | {
    "goods_key": fact_key("Goods with the same clearance, or the inside that bounds them"),
    "goods": joined_text("Item types and how many pieces of each", "tripod\x1f2\x1ebracket\x1f1"),
    "bound_length_in": inches("Longer inside of the carton that bounds unknown goods", 12.0),
    "bound_width_in": inches("Shorter inside", 12.0),
    "bound_height_in": inches("Inside height, after cutting", 8.0),
    "way_key": fact_key("All that decides a price beside the sides, and the carton catalogue of the day"),
    "catalogue_from": date("First day of the carton catalogue that held on the day of shipping", "2026-01-12"),
}
_FACTS = "goods? clearance_in? bound_length_in? bound_width_in? bound_height_in?"


def _table(name: str, grain: str, key: str, names: str) -> pa.DataFrameSchema:
    return contract(name, grain, tuple(key.split()), columns(names, _WORDS))


BOXED: tuple[pa.DataFrameSchema, ...] = (
    _table(
        "core.catalogues",
        "One row per day on which the carton catalogue changed.",
        "effective_from",
        "effective_from effective_before?",
    ),
    _table(
        "core.parcel_goods",
        "One row per parcel whose goods are known with a clearance, or bounded by its carton.",
        "parcel_id",
        f"parcel_id {_FACTS}",
    ),
    _table(
        "core.goods",
        "One row per goods with the same clearance that occur, and per inside that bounds unknown ones.",
        "goods_key",
        f"goods_key {_FACTS}",
    ),
    _table(
        "core.ways",
        "One row per all that decides a parcel's price beside its sides.",
        "way_key",
        "way_key lane_class_key is_home place_key declared_steps scale_band fuel_share_millionths is_fuel_of_base "
        "is_fuel_of_surcharge catalogue_from?",
    ),
    _table(
        "core.boxed_parcels",
        "One row per parcel, as the choice of cartons sees it.",
        "parcel_id",
        "parcel_id shipped_on shipped_month item_type packing_method? carton_code? cut_height_in? piece_count "
        "is_rectangular sides_source length_in? width_in? height_in? scale_weight_lb? goods_key? way_key? spent_cents?",
    ),
)
