"""The demo shop, imported and reviewed once for every test that reads it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from pipelines.cli import main
from pipelines.shop import warehouse
from pipelines.shop.settings import load


@pytest.fixture(scope="session")
def demo_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo shop's folder after `dunnage demo`. Tests read it; one that writes takes a copy."""
    folder = tmp_path_factory.mktemp("demo") / "shop"
    assert main(["demo", str(folder)]) == 0
    return folder


@pytest.fixture(scope="session")
def demo(demo_folder: Path) -> Iterator[warehouse.Connection]:
    """A reading connection to the demo shop's warehouse."""
    with warehouse.reading(load(demo_folder)) as connection:
        yield connection
