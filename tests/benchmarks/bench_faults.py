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


def run() -> list[tuple[str, float, float]]:
    """What was measured and its limit: commands whose next run was not whole, and runs that were not really killed."""
    wrong: list[str] = []
    killed = 0
    for seed in range(BATCHES):
        found = batch(seed)
        killed, wrong = killed + found["killed"], wrong + found["wrong"]
    for each in wrong:
        print(f"  {each}", flush=True)
    tried = BATCHES * MOMENTS
    return [
        (f"faults after {tried} kills of writing commands", float(len(wrong)), 0.0),
        (f"runs of {tried} that ended before they were killed", float(tried - killed), tried * 0.3),
    ]


def batch(seed: int) -> dict[str, list[str] | int]:
    """What one batch found; its progress is printed as it goes."""
    with tempfile.TemporaryDirectory() as folder:
        done = subprocess.run(
            [sys.executable, "-m", "tests.pipelines.killing_commands", folder, str(MOMENTS), str(seed)],
            stdout=subprocess.PIPE,
            text=True,
        )
    assert done.returncode == 0  # why not was printed
    found: dict[str, list[str] | int] = json.loads(done.stdout.splitlines()[-1])
    return found
