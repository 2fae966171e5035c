"""A folder that takes long to make, made by one of the run's processes and copied for each of them."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from filelock import FileLock


def made_once(temporary: pytest.TempPathFactory, name: str, make: Callable[[Path], None]) -> Path:
    """The folder of that name for this process; `make` fills the path it is given, which does not exist yet."""
    here = temporary.getbasetemp() / name
    if "PYTEST_XDIST_WORKER" not in os.environ:
        make(here)
        return here
    shared = here.parents[1] / name
    with FileLock(shared.with_suffix(".lock")):
        if not shared.exists():
            make(fresh := shared.with_suffix(".new"))
            fresh.rename(shared)
    return Path(shutil.copytree(shared, here))
