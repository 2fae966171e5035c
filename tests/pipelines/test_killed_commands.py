"""Commands that write, killed at random moments: nothing else is harmed, and the next run is whole."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

# One of each way to write. The schedule is killed in test_flows.py and test_no_open_door.py;
# `python -m tests.benchmarks faults` kills 500 of all.
COMMANDS = ("rejects", "backup", "restore", "decide")
SEED = 11


@pytest.mark.slow(25)
def test_a_killed_command_is_made_good_by_the_next(tmp_path: Path) -> None:
    words = [str(tmp_path), str(len(COMMANDS)), str(SEED), *COMMANDS]
    done = subprocess.run(
        [sys.executable, "-m", "tests.pipelines.killing_commands", *words], stdout=subprocess.PIPE, text=True
    )
    assert done.returncode == 0  # why not was printed
    found = json.loads(done.stdout.splitlines()[-1])
    assert found["wrong"] == []
    # Each run must really have been killed, or this test shows nothing.
    assert found["killed"] == len(COMMANDS)
