"""Five hundred kills of writing commands at random moments, in batches; the suite tries one of each way to write."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile

# Fewer for a first look.
BATCHES = int(os.environ.get("DUNNAGE_BENCH_BATCHES", "10"))
MOMENTS = 50
LANDINGS = {"intake": 60, "withdrawal": 20}


def run() -> list[tuple[str, float, float]]:
    """What was measured and its limit: commands whose next run was not whole, and runs that were not really killed."""
    wrong: list[str] = []
    killed = 0
    for seed in range(BATCHES):
        ended, faults = batch(seed)
        killed, wrong = killed + ended, wrong + faults
    for each in wrong:
        print(f"  {each}", flush=True)
    tried = BATCHES * MOMENTS
    return [
        *(each for work in LANDINGS for each in killed_landings(work)),
        (f"faults after {tried} kills of writing commands", float(len(wrong)), 0.0),
        (f"runs of {tried} that ended before they were killed", float(tried - killed), tried * 0.3),
    ]


def killed_landings(work: str) -> list[tuple[str, float, float]]:
    """Intakes or withdrawals that were killed: after how many the next left another content, and how many were not."""
    count = LANDINGS[work]
    with tempfile.TemporaryDirectory() as folder:
        words = [folder, str(count), work, str(count)]
        reported = subprocess.check_output([sys.executable, "-m", "tests.pipelines.intake.killing", *words], text=True)
    killed, different = map(int, reported.split())
    return [
        (f"{work}s of {count} that were killed and left another content", float(different), 0.0),
        (f"{work}s of {count} that ended before they were killed", float(count - killed), 0.0),
    ]


def batch(seed: int) -> tuple[int, list[str]]:
    """How many runs of one batch were killed, and what was wrong; its progress is printed as it goes."""
    with tempfile.TemporaryDirectory() as folder:
        done = subprocess.run(
            [sys.executable, "-m", "tests.pipelines.killing_commands", folder, str(MOMENTS), str(seed)],
            stdout=subprocess.PIPE,
            text=True,
        )
    assert done.returncode == 0  # why not was printed
    found = json.loads(done.stdout.splitlines()[-1])
    return found["killed"], found["wrong"]
