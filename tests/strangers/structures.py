"""The files with structural faults: each kind, in each place, under each delimiter, in each of three tables."""

from __future__ import annotations

import random
from collections.abc import Iterator
from itertools import product

from tests.strangers.bodies import BODIES
from tests.strangers.faults import LINE_FAULTS, Spoiled, spoiled_line
from tests.strangers.heads import HEADS
from tests.strangers.tables import LAYOUTS, Layout, Table, table
from tests.strangers.trials import Trial

DELIMITERS = (",", ";", "\t", "|", "||")
# First, second, one in the middle, last but one, last.
ROWS = 8
PLACES = (0, 1, 4, ROWS - 2, ROWS - 1)
FULL = 2_000
FILE_FAULTS = HEADS | BODIES


def trials(count: int = FULL, seed: int = 1) -> Iterator[Trial]:
    """`count` files, as even over kinds, places, delimiters and tables as that number allows."""
    chance = random.Random(seed)
    made = 0
    for fault, place, delimiter, layout in _turns(count, chance):
        name = f"F{seed}x{made:04}"
        lines = table(layout, delimiter, name, chance, ROWS)
        if (spoiled := _spoiled(fault, lines, place, chance)) is not None:
            yield _trial(fault, name, lines, spoiled)
            made += 1
        if made == count:
            return


def _turns(count: int, chance: random.Random) -> Iterator[tuple[str, int, str, Layout]]:
    """Every kind once, then every kind again in another place of another table, over and over."""
    kinds = [*LINE_FAULTS, *FILE_FAULTS]
    settings = [(place, one, layout) for place, one, layout in product(PLACES, DELIMITERS, LAYOUTS)]
    rounds = 1 + count // len(kinds)
    queues = {kind: chance.sample(settings, len(settings)) for kind in kinds}
    for turn in range(2 * rounds):
        for kind in kinds:
            yield (kind, *queues[kind][turn % len(settings)])


def _spoiled(fault: str, lines: Table, place: int, chance: random.Random) -> Spoiled | None:
    if fault in FILE_FAULTS:
        return FILE_FAULTS[fault](lines, place, chance)
    return spoiled_line(LINE_FAULTS[fault], lines, place, chance)


def _trial(fault: str, name: str, lines: Table, spoiled: Spoiled) -> Trial:
    layout = lines.layout
    form = f"{layout.name} {lines.delimiter!r}"
    return Trial(
        fault,
        form,
        f"{name}.csv",
        spoiled.content(),
        layout.source(lines.delimiter),
        tuple(spoiled.rows),
        layout.judged,
        layout.mark,
        extra=spoiled.extra,
        may_be_refused=spoiled.may_be_refused,
        is_all_mapped=layout.is_all_mapped,
    )
