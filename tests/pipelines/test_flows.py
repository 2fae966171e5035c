"""The scheduled runs: each is done once and recorded, a killed worker's run is done again, the owner is told."""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import sys
import urllib.error
import urllib.request
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from pipelines.orchestration import serving
from pipelines.shop import run_log, waiting, warehouse
from pipelines.shop.settings import Settings, load
from tests.pipelines.delivery.mailbox import Mailbox, free_port, login, mail_server
from tests.pipelines.served import HANGS, family, line_with, noted, schedule, surroundings, until
from tests.pipelines.small_shop import small_shop

PASSWORD = "one-long-secret-77d1"
SOURCE = """
[[source]]
name = "shop-sales"
kind = "sales"
files = "sales-*.csv"
[source.columns]
sale_id = "sale_id"
line_number = { value = "1" }
sold_at = "sold_at"
item_type = { value = "tripod" }
quantity = { value = "1" }
item_price_cents = { value = "100" }
shipping_charged_cents = { value = "20" }
"""
FILES = 12


def stocked(folder: Path, mailbox: Mailbox) -> Settings:
    """A small shop with files in its inbox and a login at its mail server."""
    settings = small_shop(folder, mailbox)
    toml = folder / "dunnage.toml"
    text = toml.read_text(encoding="utf-8").replace("[mail]\n", '[mail]\nuser = "reports"\n')
    toml.write_text(text + SOURCE, encoding="utf-8")
    for number in range(FILES):
        rows = "".join(f"T{number}-{n},2026-10-0{n} 10:00:00\n" for n in range(1, 10))
        (settings.path("inbox") / f"sales-{number}.csv").write_text(f"sale_id,sold_at\n{rows}", encoding="utf-8")
    return load(folder)


def kill_the_intake(settings: Settings) -> bool:
    """Kill the worker that imports files, at once when it begins to write."""
    try:
        said = json.loads((settings.folder / waiting.HOLDER).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return False
    if said["command"] != "intake":
        return False
    os.kill(said["process"], signal.SIGKILL)
    return True


def arrived(mailbox: Mailbox) -> set[str]:
    """What has arrived in all: the review at both recipients, the letter about the absence."""
    subjects = [str(letter["Subject"]) for letter in mailbox.kept]
    reviews = [each for each in subjects if "shipping in" in each]
    away = {"away" for each in subjects if "was away" in each}
    return {"review", *away} if len(reviews) == 2 else away


@pytest.mark.slow(20)
def test_each_run_is_done_once_though_a_worker_is_killed(
    tmp_path: Path, with_record: Callable[[Settings], Settings]
) -> None:
    mailbox = Mailbox(accepted_password=PASSWORD.encode())
    with mail_server(mailbox, authenticator=login(mailbox), auth_require_tls=False):
        shop = with_record(stocked(tmp_path / "shop", mailbox))
        run_log.begin(shop, datetime.now(UTC) - timedelta(days=40))
        with schedule(shop.folder, DUNNAGE_MAIL_PASSWORD=PASSWORD) as started:
            with warehouse.held(shop, "test"):
                # Its first child begins while somebody else writes.
                until(lambda: len(family(started.pid)) > 1, started)
            until(lambda: kill_the_intake(shop), started, pause=0.002)
            for words in ("was ended by signal 9", "intake of ", "watch of ", "review of "):
                assert "failed" not in line_with(started, words)
            until(lambda: {"review", "away"} <= arrived(mailbox), started)
            until(lambda: not run_log.due_runs(shop, datetime.now(UTC)), started)
    with warehouse.reading(shop) as connection:
        runs = connection.execute("select kind from outbox.runs where outcome = 'done' order by kind").fetchall()
        landed = connection.execute("select count(*), count(distinct sale_id) from accepted.sales").fetchall()
    assert runs == [("intake",), ("review",), ("watch",)]
    assert landed == [(3 + 9 * FILES, 3 + 9 * FILES)]
    reviews = [letter["To"] for letter in mailbox.kept if "shipping in" in str(letter["Subject"])]
    assert sorted(reviews) == ["books@fernmoor.example", "packer@fernmoor.example"]
    reported = [str(letter["Subject"]) for letter in mailbox.kept if letter["To"] == "owner@fernmoor.example"]
    subjects = sorted(each.partition(": ")[2] for each in reported)
    assert subjects == ["the run intake was cut off", "the schedule was away"]
    assert noted(shop.folder / ".prefect", "select distinct key from artifact") >= {
        "rows-imported",
        "alarms",
        "review-page",
        "letters",
    }
    assert noted(shop.folder / ".prefect", "select distinct name from flow_run") >= {
        "intake of shop",
        "watch of shop",
        "review of shop",
    }
    seen = [path for path in tmp_path.rglob("*") if path.is_file() and PASSWORD.encode() in path.read_bytes()]
    assert seen == []


@pytest.mark.slow
def test_runs_are_recorded_at_the_users_own_server(tmp_path: Path, empty_record: Path) -> None:
    """Prefect's own server, with its secret in the environment: it shows the runs, and nothing is kept in the shop."""
    shop, home = small_shop(tmp_path / "shop"), Path(shutil.copytree(empty_record, tmp_path / "server"))
    run_log.begin(shop, datetime.now(UTC) - timedelta(days=1))
    quiet = serving.QUIET | {"PREFECT_HOME": str(home), "PREFECT_SERVER_API_AUTH_STRING": PASSWORD}
    port = str(free_port())
    command = [sys.executable, "-m", "prefect", "server", "start", "--host", "127.0.0.1", "--port", port, "--no-ui"]
    server = subprocess.Popen(command, stdout=subprocess.DEVNULL, text=True, env=surroundings(**quiet))
    try:
        address = f"http://127.0.0.1:{port}/api"
        until(lambda: answers(f"{address}/health"), server)
        named = {serving.ADDRESS: address, "PREFECT_API_AUTH_STRING": PASSWORD}
        done = subprocess.run(
            [sys.executable, "-m", "pipelines.cli", "--shop", str(shop.folder), "schedule", "--once"],
            capture_output=True,
            text=True,
            env=surroundings(**named),
            timeout=HANGS,
        )
        assert done.returncode == 0, done.stderr
    finally:
        server.terminate()
        server.wait(timeout=HANGS)
    assert noted(home, "select distinct name from flow_run") >= {"intake of shop"}
    assert not (shop.folder / ".prefect" / "prefect.db").exists()


def answers(address: str) -> bool:
    """Whether a server says that it is well."""
    try:
        with urllib.request.urlopen(address, timeout=HANGS):
            return True
    except (urllib.error.URLError, OSError):
        return False


def test_the_orchestrator_is_quiet_and_keeps_its_files_in_the_shop(tmp_path: Path) -> None:
    said = serving.prepare(Settings(folder=tmp_path), {})
    assert said["PREFECT_HOME"] == str(tmp_path / ".prefect")
    assert said["PREFECT_SERVER_ANALYTICS_ENABLED"] == "false"
    stated = {"PREFECT_HOME": "elsewhere", "PREFECT_SERVER_EPHEMERAL_ENABLED": "true"}
    assert "PREFECT_HOME" not in serving.prepare(Settings(folder=tmp_path), stated)
    assert serving.prepare(Settings(folder=tmp_path), stated)["PREFECT_SERVER_EPHEMERAL_ENABLED"] == "false"
    elsewhere = serving.prepare(Settings(folder=tmp_path), {serving.ADDRESS: "https://prefect.example/api"})
    assert set(elsewhere) == {*serving.QUIET, *serving.PATIENT, "PREFECT_HOME"}
