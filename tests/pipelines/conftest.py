"""The orchestrator's record, made once: its first start lays out a database, which takes longer than a run."""

from __future__ import annotations

import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from pipelines.shop.settings import Settings
from tests.made_once import made_once
from tests.pipelines.served import HANGS, surroundings

MAKE = """
import os, pathlib, sys
os.umask(0o077)
from pipelines.orchestration import serving
from pipelines.shop.settings import Settings
from tests.made_once import made_once
serving.set_up(Settings(folder=pathlib.Path(sys.argv[1])))
from pipelines import flows
with flows.recorded():
    pass
"""


@pytest.fixture(scope="session")
def empty_record(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the record as the orchestrator lays it out."""
    return made_once(tmp_path_factory, "record", _make_record) / ".prefect"


def _make_record(folder: Path) -> None:
    folder.mkdir()
    command = [sys.executable, "-c", MAKE, str(folder)]
    subprocess.run(command, check=True, env=surroundings(), timeout=HANGS)


@pytest.fixture
def with_record(empty_record: Path) -> Callable[[Settings], Settings]:
    """Puts that record into a shop's folder."""

    def put(settings: Settings) -> Settings:
        shutil.copytree(empty_record, settings.folder / ".prefect")
        return settings

    return put
