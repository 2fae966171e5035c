"""Files of a stranger, with an oracle made from the contract and published standards (tests/strangers).

What may be asked is asked of nothing but the public commands. `python -m tests.strangers.failures FOLDER` lists what
fails, with the smallest file of each cause.
"""

from __future__ import annotations

from tests.strangers import campaign, commands, odd_files
from tests.strangers.judging import Fault, Verdict

Answer = list[tuple[str, float, float]]
LEAST_CELLS, LEAST_FILES, LEAST_LAYOUTS = 10_000, 2_000, 60


def run(seed: int = 1) -> Answer:
    """All three parts and the command, each figure with its limit."""
    return [
        *_cells(campaign.cells(seed)),
        *_faults(campaign.faults(seed=seed)),
        *_messy(campaign.messy(seed)),
        *_command(),
    ]


def _common(part: str, verdict: Verdict) -> Answer:
    return [
        (f"{part}: rows stored with a value that the file does not prove", len(verdict.of(Fault.WRONG)), 0),
        (f"{part}: rows neither accepted nor rejected", len(verdict.of(Fault.LOST)), 0),
        (f"{part}: files whose counts do not add up", len(verdict.of(Fault.COUNTS)), 0),
        (f"{part}: tracebacks, and files held up by another", len(verdict.of(Fault.CRASH, Fault.HELD_UP)), 0),
    ]


def _cells(verdict: Verdict) -> Answer:
    return [
        ("cells: fewer than 10,000 tried", LEAST_CELLS - verdict.rows, 0),
        *_common("cells", verdict),
        ("cells: share of proven values rejected", verdict.missed_share(), 0.05),
        ("cells: answers that differ from format to format", len(verdict.of(Fault.UNEQUAL)), 0),
    ]


def _faults(verdict: Verdict) -> Answer:
    return [
        ("faults: fewer than 2,000 files tried", LEAST_FILES - verdict.files, 0),
        *_common("faults", verdict),
        ("faults: rows of mapped columns only rejected without their text", len(verdict.of(Fault.TEXTLESS)), 0),
        ("faults: share of untouched rows rejected", verdict.missed_share(), 0.01),
    ]


def _messy(verdict: Verdict) -> Answer:
    return [
        ("messy files: fewer than 60 tried", LEAST_LAYOUTS - verdict.files, 0),
        *_common("messy files", verdict),
        ("messy files: share of rows not read", verdict.missed_share(), 0.10),
    ]


def _command() -> Answer:
    trials = list(odd_files.trials())
    reported = commands.intake(trials)
    due = {row.mark for trial in trials for row in trial.rows if row.is_valid}
    return [
        ("command: tracebacks", reported.printed.count("Traceback"), 0),
        ("command: rows of whole files that did not land beside broken ones", len(due - reported.marks), 0),
    ]
