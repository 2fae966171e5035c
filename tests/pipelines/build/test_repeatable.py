"""The same records give the same tables, bit by bit, in whatever order they came and however many threads work, in
whatever memory.
"""

from __future__ import annotations

from pathlib import Path

from pipelines.shop import warehouse
from pipelines.shop.settings import load
from tests.rebuilding import built_again, differing, digests


def test_order_of_records_threads_and_little_memory_change_no_bit(metric_folder: Path, tmp_path: Path) -> None:
    """All three at once; `python -m tests.benchmarks rebuilds` tries fifty orders of the whole demo's records with one
    to eight threads.
    """
    with warehouse.reading(load(metric_folder)) as connection:
        first = digests(connection)
    with built_again(metric_folder, tmp_path / "shop", 7, seed=2, split=True, memory="300MB") as found:
        assert differing(first, found) == {}
        assert list((tmp_path / "shop" / ".spill").glob("*")) == []
