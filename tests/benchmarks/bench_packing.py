"""Carton fit at work: misses, wrong fits, undecided answers, and time per answer over a realistic candidate table."""

from __future__ import annotations

import random
import time

from models.packing.boxes import options
from models.packing.fit import Verdict, fit
from models.packing.geometry import Carton
from models.packing.needed import Contents, PackedItem, contents
from models.packing.placement import faults
from models.packing.tables import fit_table
from tests.models.packing.goods import cut_carton

Result = tuple[str, float, float]

CUT_SETS = 1_000
MOST_SECONDS_PER_THOUSAND = 1.0
MOST_UNDECIDED = 0.01


def run() -> list[Result]:
    """(what, measured, limit) of each measurement; measured must not be above the limit."""
    return [*cut_sets(), *candidate_table()]


def cut_sets() -> list[Result]:
    """Sets of 2 to 8 pieces cut from a carton, half of them with up to 15 % of slack: every one fits."""
    chance, missed, wrong = random.Random(11), 0, 0
    for number in range(CUT_SETS):
        packed, inside = cut_carton(2 + number % 7, chance)
        if number % 2:
            packed = contents([(_shrunk(good, chance), 1) for good in packed.pieces], packed.clearance_in)
        answer = fit(packed, inside)
        missed += answer.verdict is not Verdict.FITS
        wrong += bool(answer.placements and faults(answer.placements, packed, inside))
    return [("fits missed of 1,000 sets cut from a carton", missed, 0), ("wrong fits among them", wrong, 0)]


def _shrunk(good: PackedItem, chance: random.Random) -> PackedItem:
    sides = (side * chance.uniform(0.85, 1) for side in good.sides_in)
    length, width, height = sides
    return PackedItem(good.item_type, length, width, height, good.turns, good.may_lie_under)


def candidate_table() -> list[Result]:
    """200 contents of up to six pieces against 40 cartons at every whole-inch height."""
    chance = random.Random(3)
    offered = options(_catalogue(40, chance))
    many = [_order(chance) for _ in range(200)]
    started = time.perf_counter()
    table = fit_table(many, offered.inside_in)
    seconds = time.perf_counter() - started
    undecided = float((table == Verdict.UNDECIDED).mean())
    return [
        (f"seconds per 1,000 answers ({table.size:,} asked)", 1_000 * seconds / table.size, MOST_SECONDS_PER_THOUSAND),
        ("share undecided among them", undecided, MOST_UNDECIDED),
    ]


def _catalogue(count: int, chance: random.Random) -> list[Carton]:
    cartons = []
    for number in range(count):
        length, width = sorted((chance.randint(6, 48), chance.randint(4, 24)), reverse=True)
        inside = (float(length), float(width), float(chance.randint(4, 24)))
        cartons.append(Carton(f"C-{number}", inside, 0.16, is_cuttable=True, minimum_height_in=min(4.0, inside[2])))
    return cartons


def _order(chance: random.Random) -> Contents:
    goods = [
        PackedItem("optical tube", 38, 11, 11, may_lie_under=False),
        PackedItem("tripod", 42, 6, 6),
        PackedItem("mount", 14, 12, 9, "upright"),
        PackedItem("counterweight", 7, 7, 4, "flat"),
        PackedItem("rocker base", 20, 20, 5, "flat", may_lie_under=False),
        PackedItem("eyepiece", 5, 3, 3),
        PackedItem("finder", 9, 4, 3.5),
        PackedItem("focuser", 6.5, 5, 5, may_lie_under=False),
    ]
    pieces = chance.choices([1, 2, 3, 4, 5, 6], [40, 25, 15, 10, 6, 4])[0]
    return contents([(chance.choice(goods), 1) for _ in range(pieces)], chance.choice([0.5, 1.0, 1.5]))


if __name__ == "__main__":
    for what, measured, limit in run():
        print(f"{what}: {measured:.4g} (limit {limit:g})")
