"""Carton fit at work: misses, wrong fits, undecided answers, and time per answer over a realistic candidate table.

Referee of 1,000 fits of nine to twelve pieces: CP-SAT, the constraint solver of OR-Tools 9 (L. Perron and F. Didier,
2024), which the extra `solver` installs. `python -m tests.benchmarks.bench_packing 200` tries so many instead.
"""

from __future__ import annotations

import random
import sys
import time
from collections.abc import Sequence

import numpy as np

from models.packing import solver
from models.packing.bounds import all_pieces
from models.packing.boxes import options
from models.packing.fit import SOLVER_WORK, Answer, Verdict, fit, usual_effort
from models.packing.geometry import Carton
from models.packing.needed import Contents, PackedItem, contents, room, shape
from models.packing.placement import faults
from models.packing.tables import fit_table
from tests.models.assortment.instances import postage_cents
from tests.models.packing.goods import cut_carton
from tests.models.packing.tight import KINDS, TightSet, tight_set

Result = tuple[str, float, float]

CUT_SETS = 1_000
MOST_SECONDS_PER_THOUSAND = 1.0
MOST_UNDECIDED = 0.01
FEW_PIECES, MANY_PIECES = (40, 25, 15, 10, 6, 4), (30, 20, 12, 8, 6, 5, 4, 4, 4, 3, 2, 2)
REFEREED = 1_000
SHOPS, MOST_OPEN_COST = 20, 0.001
MOST_OPEN, MOST_OPEN_WITH_SOLVER, MOST_SECONDS = 0.10, 0.01, 5.0


def run(refereed: int = REFEREED) -> list[Result]:
    """(what, measured, limit) of each measurement; measured must not be above the limit."""
    return [*cut_sets(), *candidate_table(), *nearly_full(refereed), *open_answers(SHOPS)]


def open_answers(shops: int) -> list[Result]:
    """Shops of 100 orders of 1 to 12 pieces and 12 cartons at every inch: the most that open answers may cost.

    Each order goes in the cheapest carton that provably holds it; at best every open one would hold it too. The share
    is of the spend by a made-up tariff, in which orders that nothing provably holds pay what the dearest pays.
    """
    found = [_open_cost(random.Random(seed)) for seed in range(shops)]
    worst, pairs = max(cost for cost, _ in found), sum(count for _, count in found)
    return [(f"share of spend at most lost to {pairs:,} open answers, worst of {shops} shops", worst, MOST_OPEN_COST)]


def _open_cost(chance: random.Random) -> tuple[float, int]:
    offered = options(_catalogue(12, chance))
    orders = [_order(chance, MANY_PIECES) for _ in range(100)]
    table = fit_table(orders, offered.inside_in)
    zones = np.array([chance.randint(0, 7) for _ in orders], dtype=np.float64)
    pounds = np.array([0.02 * order.volume_in3 for order in orders])
    cents = postage_cents(offered.outside_in[None], pounds[:, None], zones[:, None])
    proved, best = (np.where(held, cents, cents.max()).min(axis=1) for held in (table == 1, table != 0))
    return float((proved - best).sum() / proved.sum()), int((table == Verdict.UNDECIDED).sum())


def nearly_full(count: int) -> list[Result]:
    """Nine to twelve pieces with none to 5 % of slack, by kind: how many stay open, and none answered wrongly.

    Sets cut right through or as pinwheels fit by construction; of bent ones only the referee knows.
    """
    tries = [_Tried(tight_set(KINDS[at % 3], 9 + at // 3 % 4, random.Random(600_000 + at))) for at in range(count)]
    found: list[Result] = []
    for kind in KINDS:
        of_kind = [each for each in tries if each.asked.kind == kind]
        alone = sum(each.alone is Verdict.UNDECIDED for each in of_kind) / len(of_kind)
        helped = sum(each.helped is Verdict.UNDECIDED for each in of_kind) / len(of_kind)
        found.append((f"share of {len(of_kind)} that stays open, {kind}", alone, MOST_OPEN))
        found.append((f"the same with the extra solver, {kind}", helped, MOST_OPEN_WITH_SOLVER))
    found.append((f"false answers of {count}", sum(each.is_false for each in tries), 0))
    return [*found, ("seconds of the processor for the slowest", max(each.seconds for each in tries), MOST_SECONDS)]


class _Tried:
    """One set answered without the solver and with it, and what the solver says by itself."""

    def __init__(self, asked: TightSet) -> None:
        self.asked = asked
        started = time.process_time()
        answers = [fit(asked.packed, asked.inside_in)]
        if answers[0].verdict is Verdict.UNDECIDED:
            started = time.process_time()
            answers.append(fit(asked.packed, asked.inside_in, usual_effort(True)))
        self.seconds = time.process_time() - started
        self.alone, self.helped = answers[0].verdict, answers[-1].verdict
        self.is_false = any(map(self._is_false, answers)) or self._is_contradicted()

    def _is_false(self, answer: Answer) -> bool:
        if answer.verdict is Verdict.FITS:
            return bool(faults(answer.placements, self.asked.packed, self.asked.inside_in))
        return answer.verdict is Verdict.DOES_NOT_FIT and self.asked.kind != "bent"

    def _is_contradicted(self) -> bool:
        lines = shape(self.asked.packed)
        space = room(self.asked.inside_in, self.asked.packed.clearance_in)
        try:
            shown = solver.places(all_pieces(lines), space, SOLVER_WORK / 8) is not None
        except solver.OutOfWorkError:
            return False
        return (Verdict.DOES_NOT_FIT if shown else Verdict.FITS) in (self.alone, self.helped)


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


def _order(chance: random.Random, shares: Sequence[int] = FEW_PIECES) -> Contents:
    """An order of one piece and more, each number as often as its share says."""
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
    pieces = chance.choices(range(1, len(shares) + 1), shares)[0]
    return contents([(chance.choice(goods), 1) for _ in range(pieces)], chance.choice([0.5, 1.0, 1.5]))


if __name__ == "__main__":
    for what, measured, limit in run(*map(int, sys.argv[1:])):
        print(f"{what}: {measured:.4g} (limit {limit:g})")
