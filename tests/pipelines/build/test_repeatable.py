"""The same records give the same tables, bit by bit, in whatever order they came and however many threads work, in
whatever memory.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from pipelines.shop import warehouse
from tests.rebuilding import built_again, differing, digests


@pytest.mark.slow(20)
def test_order_of_records_threads_and_little_memory_change_no_bit(
    third: warehouse.Connection, third_folder: Path, tmp_path: Path
) -> None:
    """All three at once; `python -m tests.benchmarks rebuilds` tries fifty orders of the whole demo's records with one
    to eight threads.
    """
    with built_again(third_folder, tmp_path / "shop", 7, seed=2, split=True, memory="300MB") as found:
        assert differing(digests(third), found) == {}
        assert list((tmp_path / "shop" / ".spill").glob("*")) == []
