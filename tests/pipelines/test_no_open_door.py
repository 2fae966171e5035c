"""No run opens a port, whoever asks gets nothing, and no process outlives the one that started it."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from models.errors import SettingsError
from pipelines.cli import main
from pipelines.shop import backup, run_log, warehouse
from pipelines.shop.settings import Settings, load
from tests.pipelines.delivery.mailbox import mail_server
from tests.pipelines.served import HANGS, family, line_with, noted, ports, schedule, surroundings, until
from tests.pipelines.small_shop import small_shop, with_mail
from tests.pipelines.stranger import nobody_is_answered

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
BACKUPS = """
[backup]
when = "daily"
at = "00:00"
keep_daily = 2
keep_weekly = 0
keep_monthly = 0
"""


@pytest.fixture(scope="module")
def missed(empty_record: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A shop's folder whose runs of forty days were missed; each test takes a copy."""
    settings = small_shop(tmp_path_factory.mktemp("missed") / "shop")
    shutil.copytree(empty_record, settings.folder / ".prefect")
    run_log.begin(settings, datetime.now(UTC) - timedelta(days=40))
    return settings.folder


@pytest.fixture
def shop(missed: Path, tmp_path: Path) -> Settings:
    return load(shutil.copytree(missed, tmp_path / "shop"))


def done_by_now(settings: Settings, *kinds: str) -> None:
    """Note the last due run of these kinds as done."""
    for kind in kinds:
        with run_log.turn(settings, kind, datetime.now(UTC)):
            pass


@pytest.mark.slow(15)
@pytest.mark.skipif(not Path("/proc/net/tcp").exists(), reason="Linux tells who listens")
def test_what_was_missed_is_made_up_once_and_opens_no_port(shop: Settings, capsys: pytest.CaptureFixture[str]) -> None:
    """Intake and the backup that is made by the clock: verified and recorded, older ones go, those by hand stay."""
    shop, kept = with_older_backups(shop)
    done_by_now(shop, "watch", "review")
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
    assert [line.split()[0] for line in said if line.endswith("done\n")] == ["backup", "intake"]
    assert open_ports == set()
    (made,) = set((shop.folder / "backups").iterdir()) - kept
    assert made.name.endswith("-scheduled.zip") and backup.checked(made).tables
    assert kept <= set((shop.folder / "backups").iterdir())
    assert made.as_uri() in noted(shop.folder / ".prefect", "select data from artifact where key = 'backup'").pop()
    assert main(["--shop", str(shop.folder), "schedule", "--once"]) == 0
    assert "made up" not in capsys.readouterr().out
    with warehouse.reading(shop) as connection:
        done = connection.execute("select kind from outbox.runs where outcome = 'done' order by kind").fetchall()
    assert done == [("backup",), ("intake",), ("review",), ("watch",)]
    assert (shop.folder / ".prefect" / "prefect.db").stat().st_mode & 0o077 == 0


def with_older_backups(shop: Settings) -> tuple[Settings, set[Path]]:
    """The shop with backups by the clock, of which older ones lie there; and those that are to stay."""
    toml = shop.folder / "dunnage.toml"
    toml.write_text(toml.read_text(encoding="utf-8") + BACKUPS, encoding="utf-8")
    settings = load(shop.folder)
    run_log.begin(settings, datetime.now(UTC) - timedelta(days=3))
    by_hand = backup.backup(settings, None, datetime(2026, 1, 3)).path
    days = [by_hand.with_name(f"dunnage-fernmoor-optics-2026-01-{day:02}-000000-scheduled.zip") for day in (4, 5, 6)]
    for path in days:
        path.write_text("older")
    return settings, {by_hand, days[-1]}


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
@pytest.mark.skipif(not Path("/proc/net/tcp").exists(), reason="Linux tells who lives")
def test_a_child_that_hangs_or_is_killed_is_started_again_and_gives_nothing_to_others(shop: Settings) -> None:
    """What it hangs in is a warehouse that nobody lets go; its limit is at first shorter than its start."""
    with mail_server() as mailbox, warehouse.held(shop, "test"):
        with_limit(with_mail(shop.folder, mailbox), "0.00001")
        with schedule(shop.folder, DUNNAGE_MAIL_PASSWORD=SECRET) as started:
            line_with(started, "was not over after 1e-05 hours and was ended; it is done again")
            with_limit(shop, "6")
            # The child has told the owner, loaded the orchestrator and waits for the warehouse.
            until((shop.folder / "schedule-intake.lock").exists, started)
            assert [str(letter["Subject"]) for letter in mailbox.kept] == ["Fernmoor Optics: a scheduled run hung"]
            processes = family(started.pid)
            assert len(processes) == 2
            nobody_is_answered(shop.folder, processes)
            os.kill(processes[1], signal.SIGKILL)
            line_with(started, "was ended by signal 9; it is done again")
            all_end_with_the_parent(started, signal.SIGTERM)
    assert len(mailbox.kept) == 1
    assert len(run_log.due_runs(shop, datetime.now(UTC))) == 3


def with_limit(shop: Settings, hours: str) -> None:
    """Limit runs to so many hours; the schedule reads it for each child. No absence is long enough for a letter."""
    toml = shop.folder / "dunnage.toml"
    text = toml.read_text(encoding="utf-8").partition("end_after_hours")[0].rstrip()
    fresh = toml.with_name("dunnage.fresh")
    fresh.write_text(f"{text}\nend_after_hours = {hours}\ntell_after_hours = 2000\n", encoding="utf-8")
    fresh.replace(toml)


def all_end_with_the_parent(started: subprocess.Popen[str], ending: signal.Signals) -> None:
    """End the parent when its child is at work: the pipe ends with the last process, and none is left."""
    line_with(started, "to be made up: review")
    processes = family(started.pid)
    started.send_signal(ending)
    assert "Traceback" not in started.communicate(timeout=HANGS)[0]
    assert started.returncode == (-signal.SIGKILL if ending == signal.SIGKILL else 0)
    assert len(processes) == 2
    # One that has ended but that nobody has waited for has no command line any more.
    lines = [Path(f"/proc/{each}/cmdline") for each in processes]
    assert [line for line in lines if line.exists() and line.read_bytes()] == []


@pytest.mark.slow
@pytest.mark.skipif(not Path("/proc/net/tcp").exists(), reason="Linux tells who lives")
def test_a_child_ends_with_a_parent_that_is_killed(shop: Settings) -> None:
    with warehouse.held(shop, "test"), schedule(shop.folder) as started:
        all_end_with_the_parent(started, signal.SIGKILL)


@pytest.mark.slow
def test_a_damaged_record_is_reported_without_a_traceback(shop: Settings) -> None:
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
    assert done.stderr.count("move that folder away; it is made again") == 3
    assert len(run_log.due_runs(shop, datetime.now(UTC))) == 3


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
