"""What is spilled to disk under a small limit of memory is gone afterwards; test_repeatable.py builds under one."""

from __future__ import annotations

from pathlib import Path

from pipelines.shop import warehouse
from pipelines.shop.settings import Engine, Settings


def test_what_a_sort_spills_is_gone_afterwards(tmp_path: Path) -> None:
    settings = Settings(folder=tmp_path, engine=Engine(memory_limit="100MB", threads=1))
    with warehouse.writing(settings, "test") as connection:
        connection.execute("create temp table sorted as select hash(n) as h from range(20000000) as t(n) order by h")
        assert list((tmp_path / ".spill").iterdir())
    assert list((tmp_path / ".spill").glob("*")) == []
