"""A sample of a stranger's files (tests/strangers): nothing unproven is stored, no row lost, no file held up.

The whole campaign is `python -m tests.benchmarks strangers`; `python -m tests.strangers.failures FOLDER` says what
fails.
"""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from tests.strangers import campaign, commands, odd_files
from tests.strangers.judging import Fault, Verdict

# Known to be open: a number that stands as such in a workbook counts with all its figures.
OPEN = ("workbook long keys",)
NEVER = (Fault.WRONG, Fault.LOST, Fault.COUNTS, Fault.CRASH, Fault.HELD_UP)


@pytest.fixture(scope="module")
def verdicts() -> Sequence[Verdict]:
    """Cells and odd files, structural faults, messy files."""
    return campaign.sample()


def reported(verdict: Verdict, *faults: Fault) -> list[str]:
    return [
        f"{one.fault}: {one.trial.group} ({one.trial.form}): {one.row.shown if one.row else ''}: {one.reported[-300:]}"
        for one in verdict.of(*faults)
    ]


def _is_open(line: str) -> bool:
    """Whether it is a value stored in one of the groups that are known to be open. Nothing else is ever excused."""
    return any(line.startswith(f"{Fault.WRONG}: {group}") for group in OPEN)


@pytest.mark.slow
@pytest.mark.parametrize("part", range(3), ids=["cells", "faults", "messy"])
def test_nothing_unproven_is_stored_and_no_row_is_lost(verdicts: Sequence[Verdict], part: int) -> None:
    assert [line for line in reported(verdicts[part], *NEVER) if not _is_open(line)] == []


@pytest.mark.parametrize(("part", "least"), [(0, 0.95), (1, 0.99), (2, 0.90)], ids=["cells", "faults", "messy"])
def test_what_is_proven_is_accepted(verdicts: Sequence[Verdict], part: int, least: float) -> None:
    assert verdicts[part].valid_rows > 50
    assert verdicts[part].missed_share() <= 1 - least, reported(verdicts[part], Fault.MISSED)[:20]


def test_the_sample_is_large_enough(verdicts: Sequence[Verdict]) -> None:
    assert sum(verdict.rows for verdict in verdicts) >= 900


def test_the_command_takes_in_whole_files_beside_broken_ones() -> None:
    trials = list(odd_files.trials())[::5]
    printed = commands.intake(trials)
    due = {row.mark for trial in trials for row in trial.rows if row.is_valid}
    assert "Traceback" not in printed.printed
    assert due - printed.marks == set()
