"""All of a stranger's files, or a sample of them, with what was found."""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence

from tests.strangers import (
    amounts,
    counts,
    mapping_first,
    measures,
    moments,
    odd_files,
    odd_headers,
    structures,
    typed,
    words,
)
from tests.strangers.groups import Group, trials
from tests.strangers.judging import Verdict, judge
from tests.strangers.landing import land
from tests.strangers.trials import Trial

# The suite's sample: every how-manieth group of cells, each in one form, of how many shops; a new shop costs more
# than a file.
SUITE_STEP, SUITE_SHOPS, SUITE_STRUCTURES, SUITE_LAYOUTS = 3, 4, 24, 6


def groups(seed: int = 1) -> list[Group]:
    """Every group of cells."""
    chance = random.Random(seed)
    drawn = (amounts.groups(chance), measures.groups(chance), moments.groups(chance))
    fixed = (words.groups(), counts.groups(), typed.groups())
    return [group for made in (*drawn, *fixed) for group in made]


def cell_trials(seed: int = 1) -> Iterator[Trial]:
    """Every group in every form that can hold it, then the files that are odd as a whole."""
    for number, group in enumerate(groups(seed)):
        yield from trials(group, group.forms, number)
    yield from odd_headers.trials()
    yield from odd_files.trials()


def sampled_trials(seed: int = 1) -> Iterator[Trial]:
    """Each second group of a few shops in one form, forms in turn; a few odd files."""
    drawn = groups(seed)
    usual, *others = dict.fromkeys(str(group.shop) for group in drawn)
    shops = {usual, *random.Random(seed).sample(others, SUITE_SHOPS - 1)}
    of_shops = [group for group in drawn if str(group.shop) in shops]
    for number, group in enumerate(of_shops[seed % SUITE_STEP :: SUITE_STEP]):
        yield from trials(group, [group.forms[number % len(group.forms)]], number)
    yield from list(odd_headers.trials())[seed % 29 :: 29]
    yield from list(odd_files.trials())[seed % 11 :: 11]


def cells(seed: int = 1) -> Verdict:
    """Part one: cells and files over all formats."""
    return judge(land(cell_trials(seed)))


def faults(count: int = structures.FULL, seed: int = 1) -> Verdict:
    """Part two: structural faults of text files."""
    return judge(land(structures.trials(count, seed)))


def messy(seed: int = 1) -> Verdict:
    """Part three: sixty messy files, each mapped first as a user would."""
    return judge(mapping_first.land(range(mapping_first.COUNT), seed))


def sample(seed: int = 1) -> Sequence[Verdict]:
    """What the suite looks at: the same three parts, smaller."""
    few = range(seed % 10, mapping_first.COUNT, mapping_first.COUNT // SUITE_LAYOUTS)
    return (
        judge(land(sampled_trials(seed))),
        judge(land(structures.trials(SUITE_STRUCTURES, seed))),
        judge(mapping_first.land(few, seed)),
    )
