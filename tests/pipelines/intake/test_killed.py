"""An intake that is killed at any moment either happened or did not, file by file."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

MOMENTS = 100


@pytest.mark.slow
def test_a_killed_intake_is_made_good_by_the_next(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "tests.pipelines.intake.killing", str(tmp_path), str(MOMENTS)],
        stdout=subprocess.PIPE,
        text=True,
    )
    assert done.returncode == 0  # why not was printed
    killed, different = map(int, done.stdout.split())
    assert different == 0
    assert killed == MOMENTS
