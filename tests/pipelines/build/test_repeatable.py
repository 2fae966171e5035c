"""The same records give the same tables, bit by bit, in whatever order they came and however many threads work."""

from __future__ import annotations

from pathlib import Path

import pytest

from pipelines.shop import warehouse
from tests.rebuilding import built_again, differing, digests


@pytest.mark.slow
@pytest.mark.parametrize(("threads", "seed"), [(7, 2)])  # `python -m tests.benchmarks rebuilds` tries fifty
def test_order_of_records_and_threads_change_no_bit(
    demo: warehouse.Connection, demo_folder: Path, tmp_path: Path, threads: int, seed: int
) -> None:
    with built_again(demo_folder, tmp_path / "shop", threads, seed, split=threads > 1) as found:
        assert differing(digests(demo), found) == {}
