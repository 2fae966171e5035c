"""Starts the orchestrator's own server where the shop names none: on this machine only, files in the shop's folder."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator, Mapping
from contextlib import contextmanager

from models.errors import DunnageError
from pipelines.settings import Settings

ADDRESS = "PREFECT_API_URL"
START_SECONDS = 180.0
# The orchestrator sends usage figures to its makers unless told not to.
QUIET = {"PREFECT_SERVER_ANALYTICS_ENABLED": "false", "DO_NOT_TRACK": "1", "PREFECT_UI_ENABLED": "0"}


def prepare(settings: Settings, environment: Mapping[str, str] = os.environ) -> dict[str, str]:
    """What the environment must say before the orchestrator is loaded; what is set already stays."""
    wanted = {**QUIET, "PREFECT_HOME": str(settings.folder / ".prefect")}
    return {name: text for name, text in wanted.items() if name not in environment}


def set_up(settings: Settings) -> None:
    """Prepare this process's environment, also for the workers that it starts."""
    os.environ.update(prepare(settings))


@contextmanager
def server(settings: Settings) -> Iterator[str]:
    """The address of the server: the one that PREFECT_API_URL names, else one started here and ended with the block."""
    set_up(settings)
    if ADDRESS in os.environ:
        yield os.environ[ADDRESS]
        return
    port = _free_port()
    command = [
        sys.executable,
        "-m",
        "prefect",
        "server",
        "start",
        "--host",
        "127.0.0.1",
        "--port",
        str(port),
        "--no-ui",
    ]
    started = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    address = f"http://127.0.0.1:{port}/api"
    try:
        _wait(started, f"{address}/health")
        os.environ[ADDRESS] = address
        yield address
    finally:
        os.environ.pop(ADDRESS, None)
        started.terminate()
        started.wait(timeout=20)


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def _wait(started: subprocess.Popen[bytes], address: str) -> None:
    until = time.monotonic() + START_SECONDS
    while time.monotonic() < until and started.poll() is None:
        try:
            with urllib.request.urlopen(address, timeout=5):
                return
        except (urllib.error.URLError, OSError):
            time.sleep(0.5)
    raise DunnageError(
        "the schedule's server", "did not start", "all scheduled runs", "run `prefect server start` to see why"
    )
