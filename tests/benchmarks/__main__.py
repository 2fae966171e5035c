"""`make bench`: every benchmark, each figure beside its limit within the same run. Exit 1 where a limit is missed.

`python -m tests.benchmarks TOPIC ...` runs the named ones. Those that take an hour or need another engine run only when
named.
"""

from __future__ import annotations

import importlib
import sys
from collections.abc import Sequence
from pathlib import Path

ONLY_WHEN_NAMED = {"faults", "growth", "mutants", "rebuilds", "spark", "thinned", "touched"}


def topics() -> list[str]:
    """Every benchmark that lies here."""
    return sorted(path.stem.removeprefix("bench_") for path in Path(__file__).parent.glob("bench_*.py"))


def main(named: Sequence[str]) -> int:
    """Run and print; returns how many limits were missed."""
    missed = 0
    for topic in named or [topic for topic in topics() if topic not in ONLY_WHEN_NAMED]:
        print(topic, flush=True)
        for what, measured, limit in importlib.import_module(f"tests.benchmarks.bench_{topic}").run():
            missed += measured > limit
            print(f"  {'  ' if measured <= limit else '! '}{measured:12.4g}  limit {limit:10.4g}  {what}", flush=True)
    print(f"{missed} limits missed")
    return missed


if __name__ == "__main__":
    sys.exit(1 if main(sys.argv[1:]) else 0)
