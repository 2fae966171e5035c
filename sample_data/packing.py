"""What the bench packed: a carton, a method and a label for each parcel, with its true outside sides."""

from __future__ import annotations

import datetime as dt
import math
from dataclasses import dataclass

import numpy as np

from sample_data import shop
from sample_data.sales import Sale
from sample_data.shop import CARTONS, CM, ITEM_TYPES, METHODS, Carton, Contents

BOARD_LB_PER_IN2 = 0.0012
Sides = tuple[float, float, float]


@dataclass
class Packed:
    """One parcel. `true_sides_in` is what a carrier's laser sees; `logged_sides_in` what the bench wrote, or None."""

    parcel_id: str
    sale: Sale
    contents: Contents
    shipped_on: dt.date
    carrier: str
    service: str
    zone: str
    is_residential: bool
    declared_value_cents: int
    carton_code: str
    cut_height_in: float | None
    packing_method: str
    is_rectangular: bool
    true_weight_lb: float
    true_sides_in: Sides
    packer: str
    pack_minutes: float
    logged_sides_in: Sides | None
    logged_weight_lb: float | None
    has_log: bool = True


def pack(rng: np.random.Generator, sales: list[Sale]) -> list[Packed]:
    """Every parcel of every sale, in order of shipping."""
    parcels = [_pack_one(rng, sale, contents) for sale in sales for contents in sale.parcels]
    parcels.sort(key=lambda parcel: (parcel.shipped_on, parcel.sale.sale_id))
    for position, parcel in enumerate(parcels):
        parcel.parcel_id = f"{'NL' if parcel.carrier == 'Northline' else 'CV'}{40010000 + 7 * position}"
    return parcels


def _pack_one(rng: np.random.Generator, sale: Sale, contents: Contents) -> Packed:
    method = _method(rng, contents, sale.ship_on)
    carton = _carton(rng, contents, method)
    cut_height_in = _cut(rng, carton)
    sides = _closed_sides(rng, carton, cut_height_in)
    weight = _weight(rng, contents, sides, method)
    carrier, service = _service(rng, weight)
    value = sum(sale.line_of(item_type).price_cents * quantity for item_type, quantity in contents)
    return Packed(
        parcel_id="",
        sale=sale,
        contents=contents,
        shipped_on=sale.ship_on,
        carrier=carrier,
        service=service,
        zone=shop.ZONES[sale.destination_prefix],
        is_residential=rng.random() < 0.8,
        declared_value_cents=value if value > 15000 and rng.random() < 0.45 else 0,
        carton_code=carton.code,
        cut_height_in=cut_height_in,
        packing_method=method,
        is_rectangular=carton.style != "tube",
        true_weight_lb=weight,
        true_sides_in=sides,
        packer=str(rng.choice(["B1", "B2"])),
        pack_minutes=round(METHODS[method].minutes * rng.uniform(0.75, 1.45) * 2) / 2,
        logged_sides_in=sides if rng.random() >= 0.04 else None,
        logged_weight_lb=weight if rng.random() >= 0.005 else None,
        has_log=bool(rng.random() >= 0.006),
    )


def _method(rng: np.random.Generator, contents: Contents, day: dt.date) -> str:
    main = contents[0][0]
    # Old habits and old stock last a little beyond a change.
    keeps_old_way = rng.random() < 0.03
    if main == "tripod":
        return "paper" if day < shop.TRIPOD_CHANGE or keeps_old_way else "corner blocks"
    if main == "mount head":
        return "paper" if day < shop.PLACEBO_CHANGE or keeps_old_way else "honeycomb paper"
    if main in ("counterweight", "dew shield"):
        return "paper"
    return "foam" if rng.random() < shop.FOAM_SHARE[main] else "air cushion"


def _carton(rng: np.random.Generator, contents: Contents, method: str) -> Carton:
    choices = shop.CARTON_CHOICE[contents]
    wide = choices.get(method, choices["usual"])
    return CARTONS[str(rng.choice([code for code, _ in wide], p=[chance for _, chance in wide]))]


def _cut(rng: np.random.Generator, carton: Carton) -> float | None:
    height_in, chance = shop.CUTS.get(carton.code, (0.0, 0.0))
    return height_in if rng.random() < chance else None


def nominal_sides(carton: Carton, cut_height_in: float | None, grown_in: float = 0.0) -> Sides:
    """Outside sides by the catalogue, longest first, to an eighth of an inch; bulging flaps add to the height."""
    boards = 2 if carton.style == "tube" else 4
    length, width, height = (side / CM for side in carton.inside_cm)
    board = shop.BOARD_CM / CM
    inside_height = height if cut_height_in is None else cut_height_in
    nominal = (length + 2 * board, width + 2 * board, inside_height + boards * board)
    eighths = [round(side * 8) / 8 for side in nominal]
    sides = sorted((eighths[0], eighths[1], eighths[2] + grown_in), reverse=True)
    return sides[0], sides[1], sides[2]


def _closed_sides(rng: np.random.Generator, carton: Carton, cut_height_in: float | None) -> Sides:
    """Outside sides as closed: the nominal ones with the bulge of the flaps."""
    grown = float(rng.choice([0.0, 0.125, 0.25], p=[0.5, 0.35, 0.15]))
    if carton.code == shop.NOMINAL_48:
        closes = rng.random() < shop.CLOSES_AT_NOMINAL
        grown = 0.0 if closes else float(rng.choice([0.75, 0.875, 1.0], p=[0.1, 0.2, 0.7]))
    return nominal_sides(carton, cut_height_in, grown)


def _weight(rng: np.random.Generator, contents: Contents, sides: Sides, method: str) -> float:
    """Goods, board, packing material and the spread of the goods; to an ounce."""
    goods = sum(ITEM_TYPES[item_type].weight_lb * quantity for item_type, quantity in contents)
    length, width, height = sides
    board = BOARD_LB_PER_IN2 * 2.6 * (length * width + length * height + width * height)
    material = 0.9 if method == "corner blocks" else 0.4
    return math.ceil((goods * rng.normal(1.0, 0.02) + board + material) * 16) / 16


def _service(rng: np.random.Generator, weight_lb: float) -> tuple[str, str]:
    pick = int(rng.choice(len(shop.SERVICES), p=[share for _, _, share in shop.SERVICES]))
    carrier, service, _ = shop.SERVICES[pick]
    # Corvane carries at most 31.5 kg.
    return ("Northline", "ground") if carrier == "Corvane" and weight_lb > 69 else (carrier, service)
