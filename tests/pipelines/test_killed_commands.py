"""Every command that writes, killed at random moments: nothing else is harmed, and the next run is whole."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

# `python -m tests.benchmarks` kills 500.
MOMENTS = 10


@pytest.mark.slow
def test_a_killed_command_is_made_good_by_the_next(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "tests.pipelines.killing_commands", str(tmp_path), str(MOMENTS)],
        stdout=subprocess.PIPE,
        text=True,
    )
    assert done.returncode == 0  # why not was printed
    found = json.loads(done.stdout.splitlines()[-1])
    assert found["wrong"] == []
    # Most runs must really have been killed, or this test shows nothing.
    assert found["killed"] >= MOMENTS * 0.7
