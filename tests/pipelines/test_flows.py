"""The scheduled runs under the orchestrator: they fire, a killed worker's run is done again, none is done twice."""

from __future__ import annotations

import json
import os
import signal
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import pytest

from pipelines import serving, warehouse
from pipelines.settings import Settings, load
from tests.pipelines.mailbox import Mailbox, login, mail_server
from tests.pipelines.small_shop import small_shop

PASSWORD = "one-long-secret-77d1"
PATIENCE = 85.0
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
# The three runs as the schedule serves them, but every eight seconds.
SERVE = """
import pathlib, sys
from pipelines import serving
from pipelines.settings import load
if __name__ == "__main__":
    shop = load(pathlib.Path(sys.argv[1]))
    with serving.server(shop):
        from prefect import serve
        from prefect.schedules import Interval
        from pipelines import flows
        often = flows.deployments(shop, lambda rule: Interval(8.0, timezone="UTC"))
        serve(*often, limit=1, pause_on_shutdown=False, print_starting_message=False)
"""


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


@contextmanager
def served(settings: Settings, log: Path) -> Iterator[None]:
    """The schedule at work in a process of its own, with its server; both are ended with the block."""
    script = settings.folder / "serve.py"
    script.write_text(SERVE, encoding="utf-8")
    environment = {**os.environ, "DUNNAGE_MAIL_PASSWORD": PASSWORD, "PYTHONPATH": str(Path.cwd())}
    environment.pop(serving.ADDRESS, None)
    with log.open("wb") as out:
        started = subprocess.Popen(
            [sys.executable, str(script), str(settings.folder)],
            stdout=out,
            stderr=out,
            env=environment,
            start_new_session=True,
        )
        try:
            yield
        finally:
            os.killpg(started.pid, signal.SIGTERM)
            try:
                started.wait(timeout=15)
            except subprocess.TimeoutExpired:
                os.killpg(started.pid, signal.SIGKILL)
                started.wait(timeout=5)


def until(happens: Callable[[], bool], seconds: float, pause: float) -> bool:
    """Whether it happens within the time."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        if happens():
            return True
        time.sleep(pause)
    return False


def kill_the_intake(settings: Settings) -> bool:
    """Kill the worker that lands files, at once when it begins to write."""
    try:
        said = json.loads((settings.folder / "warehouse-writer.json").read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return False
    if said["command"] != "intake":
        return False
    os.kill(said["process"], signal.SIGKILL)
    return True


def finished(settings: Settings) -> list[str]:
    """Kinds of run that are done."""
    with warehouse.reading(settings) as connection:
        found = connection.execute("select kind from outbox.runs where finished_at is not null order by kind")
        return [kind for (kind,) in found.fetchall()]


def noted(settings: Settings, query: str) -> set[str]:
    """What the orchestrator's own database has noted."""
    with closing(sqlite3.connect(settings.folder / ".prefect" / "prefect.db")) as book:
        return {text for (text,) in book.execute(query)}


@pytest.mark.slow
def test_the_three_runs_fire_once_each_though_a_worker_is_killed(tmp_path: Path) -> None:
    mailbox = Mailbox(accepted_password=PASSWORD.encode())
    log = tmp_path / "schedule.log"
    with mail_server(mailbox, authenticator=login(mailbox), auth_require_tls=False):
        shop = stocked(tmp_path / "shop", mailbox)
        with served(shop, log):
            assert until(lambda: kill_the_intake(shop), PATIENCE, 0.002), log.read_text()[-3_000:]
            done = until(lambda: finished(shop) == ["intake", "review", "watch"], PATIENCE, 0.5)
            assert done, log.read_text()[-3_000:]
            time.sleep(10)  # at least one more firing of each
    with warehouse.reading(shop) as connection:
        runs = connection.execute("select kind, count(*) from outbox.runs group by kind order by kind").fetchall()
        landed = connection.execute("select count(*), count(distinct sale_id) from accepted.sales").fetchall()
    assert runs == [("intake", 1), ("review", 1), ("watch", 1)]
    assert landed == [(3 + 9 * FILES, 3 + 9 * FILES)]
    reviews = [letter["To"] for letter in mailbox.kept if "shipping in" in str(letter["Subject"])]
    assert sorted(reviews) == ["books@fernmoor.example", "packer@fernmoor.example"]
    told = [letter for letter in mailbox.kept if letter["To"] == "owner@fernmoor.example"]
    assert any("intake failed" in str(letter["Subject"]) for letter in told)
    assert noted(shop, "select distinct key from artifact") >= {"rows-landed", "alarms", "review-page", "letters"}
    assert noted(shop, "select distinct name from flow_run") >= {"intake of shop", "watch of shop", "review of shop"}
    seen = [path for path in tmp_path.rglob("*") if path.is_file() and PASSWORD.encode() in path.read_bytes()]
    assert seen == []


def test_the_server_is_quiet_and_keeps_its_files_in_the_shop(tmp_path: Path) -> None:
    said = serving.prepare(Settings(folder=tmp_path), {"PREFECT_HOME": "elsewhere"})
    assert said == serving.QUIET
    assert serving.prepare(Settings(folder=tmp_path), {})["PREFECT_HOME"] == str(tmp_path / ".prefect")
    assert said["PREFECT_SERVER_ANALYTICS_ENABLED"] == "false"
