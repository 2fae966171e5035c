"""Prices plans: parcels joined and parcels split, each part in the cheapest of the sizes to stock."""

from collections.abc import Sequence

import numpy as np
import pandas as pd

from models.carton_choice import fits, plans
from models.carton_choice.choosing import Choice, is_bought
from models.carton_choice.demand import is_single
from models.carton_choice.offers import Offers, cuttable_offers, joined, making, rectangular, stocked_offers
from models.carton_choice.void_fill import with_void_fill
from models.packing.boxes import Options
from models.packing.needed import Contents
from models.settings.cartons import Cartons
from models.tables.rating import PRICED
from pipelines.build import rating
from pipelines.build.cartons.classes import SCHEMAS, Demand, put, read, wrapped_items, write
from pipelines.shop import warehouse

# Offers with the geometry that says which are cuts of the same carton.
Cuttable = tuple[Offers, Options]


def plan_table(connection: warehouse.Connection, wanted: Demand, sets: Sequence[Cuttable]) -> pd.DataFrame:
    """The rows of analysis.parcel_plans. sets: what may be packed in. Call it within `working`, after the classes are
    written."""
    write(connection, "plan_parcels")
    item_types = connection.execute("select * from accepted.item_types order by item_type").df()
    found = plans.plans(
        read(connection, "plan_parcels", "sale_id, parcel_id"),
        wrapped_items(connection),
        dict(zip(item_types["item_type"], item_types["weight_lb"].astype(float), strict=True)),
    )
    distinct = dict.fromkeys(part.packed for plan in found for part in plan.all_parts)
    keys = {packed: number for number, packed in enumerate(distinct)}
    parts = plans.part_rows(found, keys)
    best = _best(connection, parts, _priced_offers(wanted, sets, list(keys)))
    return plans.plan_table(found, parts.merge(best, on=["plan_number", "part_number"], how="left"))


def chosen_sets(choice: Choice, catalogue: pd.DataFrame, settings: Cartons, cents_of_cut: int) -> list[Cuttable]:
    """The sizes to stock, whole and cut: those of the catalogue at each of their entries, then those to be bought."""
    sizes = choice.sizes.rows.iloc[list(choice.chosen.sizes)]
    boxes = catalogue[rectangular(catalogue) & catalogue["carton_code"].isin(sizes["size_code"])]
    bought = sizes[is_bought(sizes)]
    made = making(catalogue)
    kept = [stocked_offers(boxes.reset_index(drop=True), settings.cut_step_in, cents_of_cut)] if len(boxes) else []
    new = [cuttable_offers(bought, made, settings.new_lowest_in, settings.cut_step_in, cents_of_cut)]
    return [*kept, *(new if len(bought) else [])]


def _priced_offers(wanted: Demand, sets: Sequence[Cuttable], many: list[Contents]) -> pd.DataFrame:
    """One row per contents_key and offer that holds it, proved by a placement, with its void fill."""
    answers = [fits.useful(fits.fits(many, each.insides_in, wanted.known), geometry) for each, geometry in sets]
    offered = joined(*(each for each, _ in sets))
    held = fits.pairs(range(len(many)), fits.unbeaten(np.hstack(answers), offered.rows))
    proved = _proved(held, many, offered, wanted)
    filled = with_void_fill(proved, dict(enumerate(many)), offered.insides_in, wanted.fill)
    return filled.merge(offered.rows, on="option_key")


def _proved(held: pd.DataFrame, many: list[Contents], offered: Offers, wanted: Demand) -> pd.DataFrame:
    is_mixed = np.array([not is_single(many[key]) for key in held["contents_key"]], dtype=np.bool_)
    mixed = held[is_mixed].astype(np.int64)
    struck = fits.unproved(mixed, dict(enumerate(many)), offered, wanted.known)
    both = held.merge(struck, on=["contents_key", "option_key"], how="left", indicator=True)
    return both[both["_merge"] == "left_only"].drop(columns="_merge")


def _best(connection: warehouse.Connection, parts: pd.DataFrame, held: pd.DataFrame) -> pd.DataFrame:
    """The cheapest carriage, carton and void fill of one parcel of each part."""
    asked = parts.merge(held, on="contents_key")
    day = pd.to_datetime(asked["shipped_on"])
    is_from = asked["effective_from"].isna() | (asked["effective_from"] <= day)
    is_valid = is_from & (asked["effective_before"].isna() | (day < asked["effective_before"]))
    asked = asked[is_valid].reset_index(drop=True)
    asked["request_id"] = asked.index.astype(str)
    put(connection, "plan_asked", asked)
    write(connection, "plan_requests")
    rating.rate(connection, "cartons.plan_requests", SCHEMAS[1], until=PRICED)
    priced = connection.execute(f"select request_id, expected_cents from {SCHEMAS[1]}.priced").df().dropna()
    found = asked.merge(priced, on="request_id")
    cents = found[["expected_cents", "unit_cost_cents", "cut_cents", "void_cents"]].sum(axis=1)
    return found.assign(best_cents=cents).groupby(["plan_number", "part_number"], as_index=False)[["best_cents"]].min()
