"""How much of a campaign the suite tries: the same eighth always; `python -m tests.benchmarks campaigns` tries all."""

from __future__ import annotations

import os

import pytest

WHOLE = "DUNNAGE_WHOLE_CAMPAIGNS"
SHARE, FEWEST = 8, 3


def is_whole() -> bool:
    """Whether the benchmark asks for all."""
    return WHOLE in os.environ


def tries(campaign: int, fewest: int = FEWEST) -> int:
    """Of so many trials those to do now: all in the benchmark, else an eighth, but so many at least."""
    return campaign if is_whole() else max(campaign // SHARE, min(campaign, fewest))


# A trial of which a smaller one of the suite notices the same faults: done in the benchmark alone.
campaign = pytest.mark.skipif(not is_whole(), reason="done by `python -m tests.benchmarks campaigns`")
