"""Five hundred kills of writing commands at random moments; the suite tries thirty."""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile

MOMENTS = 500


def run() -> list[tuple[str, float, float]]:
    """What was measured and its limit: commands whose next run was not whole, and runs that were not really killed."""
    with tempfile.TemporaryDirectory() as folder:
        done = subprocess.run(
            [sys.executable, "-m", "tests.pipelines.killing_commands", folder, str(MOMENTS)],
            stdout=subprocess.PIPE,
            text=True,
        )
    assert done.returncode == 0  # why not was printed
    found = json.loads(done.stdout.splitlines()[-1])
    return [
        (f"faults after {MOMENTS} kills of writing commands", float(len(found["wrong"])), 0.0),
        (f"runs of {MOMENTS} that ended before they were killed", float(MOMENTS - found["killed"]), MOMENTS * 0.3),
    ]
