"""No run opens a port, whoever asks gets nothing, and no process outlives the one that started it."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from models.errors import SettingsError
from pipelines import scheduling, warehouse
from pipelines.cli import main
from pipelines.settings import Settings
from tests.pipelines.served import HANGS, family, line_with, ports, schedule, surroundings, until
from tests.pipelines.small_shop import small_shop

SECRET = "one-long-secret-3b90"
# Python tells its hooks of every socket that is bound and every process that is started; a server would be a Python.
HOOKED = """
import sys
def told(event, given):
    if event == "socket.bind" or event == "subprocess.Popen" and "python" in str(given[0]):
        print("OPENED", event, given[:2], flush=True)
sys.addaudithook(told)
"""
COMMAND = "from pipelines.cli import main; sys.exit(main(sys.argv[1:]))"
BARE_FLOW = "import pathlib; from pipelines import flows; flows.intake(pathlib.Path(sys.argv[2]))"
# What a user without rights tries: every door of the orchestrator, on every port it finds, and the files themselves.
STRANGER = """
import json, os, pathlib, socket, sys
asked = json.loads(sys.argv[1])
os.setgroups([]); os.setgid(65534); os.setuid(65534)
answers = []
for port in asked["ports"]:
    for text in asked["requests"]:
        try:
            with socket.create_connection(("127.0.0.1", port), 20) as talk:
                talk.sendall(text.encode())
                answers.append(talk.recv(200).decode(errors="replace"))
        except OSError:
            pass
for path in asked["paths"]:
    try:
        answers.append(str(list(pathlib.Path(path).iterdir()) if pathlib.Path(path).is_dir()
                           else pathlib.Path(path).read_bytes()[:20]))
    except OSError:
        pass
print(json.dumps({"tried": len(asked["ports"]) * len(asked["requests"]) + len(asked["paths"]), "answers": answers}))
"""
HEAD = "Host: 127.0.0.1\r\nOrigin: http://elsewhere.example\r\nConnection: close\r\n"
REQUESTS = [
    *(f"GET {path} HTTP/1.1\r\n{HEAD}\r\n" for path in ("/docs", "/openapi.json", "/ui-settings", "/api/docs")),
    *(
        f"GET {path} HTTP/1.1\r\n{HEAD}\r\n"
        for path in ("/api/admin/settings", "/api/admin/version", "/api/csrf-token")
    ),
    f"POST /api/deployments/filter HTTP/1.1\r\n{HEAD}Content-Type: application/json\r\nContent-Length: 2\r\n\r\n{{}}",
    f"OPTIONS /api/flow_runs/ HTTP/1.1\r\n{HEAD}Access-Control-Request-Method: POST\r\n\r\n",
    "GET /api/events/in HTTP/1.1\r\nHost: 127.0.0.1\r\nUpgrade: websocket\r\nConnection: Upgrade\r\n"
    "Sec-WebSocket-Version: 13\r\nSec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r\n\r\n",
]


@pytest.fixture
def shop(tmp_path: Path, with_record: Callable[[Settings], Settings]) -> Iterator[Settings]:
    """A shop whose runs of forty days were missed."""
    settings = with_record(small_shop(tmp_path / "shop"))
    settings.folder.chmod(0o700)
    scheduling.begin(settings, datetime.now(UTC) - timedelta(days=40))
    yield settings


@pytest.mark.slow
@pytest.mark.skipif(not Path("/proc/net/tcp").exists(), reason="Linux tells who listens")
def test_what_was_missed_is_made_up_once_and_opens_no_port(shop: Settings, capsys: pytest.CaptureFixture[str]) -> None:
    said, open_ports = [], set()
    with subprocess.Popen(
        [sys.executable, "-c", HOOKED + COMMAND, "--shop", str(shop.folder), "schedule", "--once"],
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        env=surroundings(),
    ) as started:
        assert started.stdout
        for line in started.stdout:
            said.append(line)
            open_ports |= ports(family(started.pid))
    assert started.returncode == 0, said
    assert [line for line in said if "OPENED" in line] == []
    assert len([line for line in said if line.endswith("done\n")]) == 3, said
    assert open_ports == set()
    assert main(["--shop", str(shop.folder), "schedule", "--once"]) == 0
    assert "made up" not in capsys.readouterr().out
    with warehouse.reading(shop) as connection:
        done = connection.execute("select kind from outbox.runs where outcome = 'done' order by kind").fetchall()
    assert done == [("intake",), ("review",), ("watch",)]
    assert (shop.folder / ".prefect" / "prefect.db").stat().st_mode & 0o077 == 0


@pytest.mark.slow
def test_a_flow_called_without_a_server_opens_none(shop: Settings) -> None:
    environment = surroundings(PREFECT_HOME=str(shop.folder / ".prefect"), PREFECT_SERVER_ALLOW_EPHEMERAL_MODE="true")
    done = subprocess.run(
        [sys.executable, "-c", HOOKED + BARE_FLOW, "--shop", str(shop.folder)],
        capture_output=True,
        text=True,
        env=environment,
        timeout=HANGS,
    )
    assert "OPENED" not in done.stdout
    assert "No Prefect API URL" in done.stderr


@pytest.mark.slow
@pytest.mark.skipif(os.name != "posix" or os.geteuid() != 0, reason="only root can be somebody else")
def test_another_user_of_the_machine_gets_nothing_from_a_schedule_at_work(shop: Settings) -> None:
    with warehouse.held(shop, "test"), schedule(shop.folder, DUNNAGE_MAIL_PASSWORD=SECRET) as started:
        # The child has loaded the orchestrator and waits for the warehouse.
        until((shop.folder / "schedule-intake.lock").exists, started)
        processes = family(started.pid)
        assert len(processes) == 2
        paths = [str(shop.folder), *(f"/proc/{each}/environ" for each in processes)]
        asked = {"ports": sorted(ports(processes)), "requests": REQUESTS, "paths": paths}
        told = subprocess.run(
            [sys.executable, "-c", STRANGER, json.dumps(asked)],
            check=True,
            capture_output=True,
            text=True,
        )
    said = json.loads(told.stdout)
    assert said["tried"] >= 3
    assert said["answers"] == []


@pytest.mark.slow
@pytest.mark.skipif(not Path("/proc/net/tcp").exists(), reason="Linux tells who lives")
@pytest.mark.parametrize("ending", [signal.SIGKILL, signal.SIGTERM])
def test_a_child_ends_with_its_parent(shop: Settings, ending: signal.Signals) -> None:
    with warehouse.held(shop, "test"), schedule(shop.folder) as started:
        line_with(started, "to be made up: review")
        processes = family(started.pid)
        started.send_signal(ending)
        said = started.communicate(timeout=60)[0]  # the pipe ends with the last process
        assert "Traceback" not in said
        assert started.returncode == (-signal.SIGKILL if ending == signal.SIGKILL else 0)
    assert len(processes) == 2
    # One that has ended but that nobody has waited for has no command line any more.
    lines = [Path(f"/proc/{each}/cmdline") for each in processes]
    assert [line for line in lines if line.exists() and line.read_bytes()] == []


@pytest.mark.slow
def test_a_damaged_record_is_told_without_a_traceback(shop: Settings) -> None:
    (shop.folder / ".prefect" / "prefect.db").write_bytes(b"not a database" * 1_000)
    done = subprocess.run(
        [sys.executable, "-m", "pipelines.cli", "--shop", str(shop.folder), "schedule", "--once"],
        capture_output=True,
        text=True,
        env=surroundings(),
        timeout=HANGS,
    )
    assert done.returncode == 1
    assert "Traceback" not in done.stderr
    assert done.stderr.count("move that folder away; it is made anew") == 3
    assert len(scheduling.due_runs(shop, datetime.now(UTC))) == 3


@pytest.mark.slow
def test_a_killed_child_is_told_and_started_again_and_a_busy_warehouse_costs_no_run(shop: Settings) -> None:
    with schedule(shop.folder) as started:
        with warehouse.held(shop, "test"):
            line_with(started, "to be made up: review")
            os.kill(family(started.pid)[1], signal.SIGKILL)
            line_with(started, "was ended by signal 9; it is done again")
            line_with(started, "to be made up: review")
        for kind in ("intake", "watch", "review"):
            line_with(started, f"{kind} of ")
    assert scheduling.due_runs(shop, datetime.now(UTC)) == []


def test_a_server_may_ask_only_for_the_folder_that_is_served(shop: Settings, monkeypatch: pytest.MonkeyPatch) -> None:
    from pipelines import flows

    monkeypatch.setenv(flows.ASKED, "0190d0c0-0000-7000-8000-000000000000")
    for served in (None, str(shop.folder.parent)):
        if served:
            monkeypatch.setenv(flows.SERVED, served)
        for run in flows.FLOWS.values():
            with pytest.raises(SettingsError, match="is not the folder that this worker serves"):
                run.fn(str(shop.folder))
    monkeypatch.setenv(flows.SERVED, str(shop.folder))
    assert flows._served(shop.folder).folder == shop.folder
