"""Every trial of the campaigns of which the suite tries an eighth (tests/sampling.py).

`python -m tests.benchmarks.bench_campaigns intake` takes the files with these letters in their path only.
"""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

from tests.sampling import WHOLE

ROOT = Path(__file__).parent.parent.parent
MARKS = ("from tests.sampling import", "import given")


def run(letters: str = "") -> Iterator[tuple[str, float, float]]:
    """Per file with a campaign: whether a trial failed."""
    for name in thinned(letters):
        command = [sys.executable, "-m", "pytest", "-q", "--no-header", "-p", "no:cacheprovider", name]
        done = subprocess.run(command, cwd=ROOT, env=os.environ | {WHOLE: "1"}, capture_output=True, text=True)
        if done.returncode:
            print(done.stdout[-3_000:])
        yield f"{name}: {done.stdout.strip().splitlines()[-1]}", float(done.returncode != 0), 0


def thinned(letters: str = "") -> Iterator[str]:
    """The test files with a campaign and these letters in their path, as paths from the project's folder."""
    for path in sorted((ROOT / "tests").rglob("test_*.py")):
        name = path.relative_to(ROOT).as_posix()
        if letters in name and any(mark in path.read_text(encoding="utf-8") for mark in MARKS):
            yield name


if __name__ == "__main__":
    for figure in run("".join(sys.argv[1:2])):
        print(*figure, flush=True)
