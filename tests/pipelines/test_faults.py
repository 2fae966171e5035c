"""What a machine can do to a shop: each fault is told in three lines, harms nothing else, and the next run is whole."""

from __future__ import annotations

import contextlib
import io
import os
import resource
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from models.errors import MachineError
from pipelines.cli import main
from pipelines.shop import backup, machine_errors, warehouse
from pipelines.shop.settings import Settings, load
from tests.pipelines.intake.small_shop import SmallShop
from tests.pipelines.served import HANGS
from tests.pipelines.small_shop import built_shop, small_shop
from tests.sampling import tries

DUNNAGE = "import sys; from pipelines.cli import main; sys.exit(main(sys.argv[1:]))"
CHARGES = "select count(*), sum(amount_cents) from accepted.charges"


@pytest.fixture
def shop(tmp_path: Path) -> Settings:
    return small_shop(tmp_path / "shop")


def charges(settings: Settings) -> tuple[object, ...]:
    with warehouse.reading(settings) as connection:
        return connection.execute(CHARGES).fetchall()[0]


def command(folder: Path, *words: str) -> tuple[int, str]:
    """A command's exit code and what it said of its mistake."""
    with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()) as said:
        code = main(["--shop", str(folder), *words])
    return code, said.getvalue()


def limited(most_bytes: int, folder: Path, *words: str) -> tuple[int, str]:
    """The same in a process of its own, whose files may not grow beyond so many bytes."""

    def limit() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (most_bytes, most_bytes))

    done = subprocess.run(
        [sys.executable, "-c", DUNNAGE, "--shop", str(folder), *words],
        capture_output=True,
        text=True,
        preexec_fn=limit,
        timeout=HANGS,
    )
    return done.returncode, done.stderr


def is_reported(said: tuple[int, str], *words: str) -> None:
    """Exit code 1, three lines, no traceback, these words."""
    code, text = said
    assert code == 1, said
    assert "Traceback" not in text
    assert "\n  affected: " in text and "\n  next: " in text
    for word in words:
        assert word in text


@contextmanager
def small_disk(folder: Path, options: str) -> Iterator[Path]:
    """A file system in memory; only root may mount one."""
    folder.mkdir()
    mounted = subprocess.run(["mount", "-t", "tmpfs", "-o", options, "tmpfs", str(folder)], capture_output=True)
    if mounted.returncode:
        pytest.skip("cannot mount a small disk here")
    try:
        yield folder
    finally:
        subprocess.run(["umount", str(folder)], check=True)


@pytest.mark.slow
def test_a_full_disk(shop: Settings, tmp_path: Path) -> None:
    with small_disk(tmp_path / "disk", "size=80m") as disk:
        folder = disk / "shop"
        shutil.copytree(shop.folder, folder)
        filler = disk / "filler"
        filler.write_bytes(bytes(shutil.disk_usage(disk).free - 400_000))
        before = charges(load(folder))
        for words in (("review",), ("backup",)):
            is_reported(command(folder, *words), "disk is full", "make room")
        assert charges(load(folder)) == before
        assert not list(folder.rglob("*.zip")) and not list(folder.rglob("*.publishing"))
        filler.unlink()
        assert command(folder, "review") == (0, "")
        assert command(folder, "backup") == (0, "")
        assert charges(load(folder)) == before


@pytest.mark.slow
@pytest.mark.parametrize("growth", [300_000, 0][: tries(2, fewest=1)])
def test_a_file_that_may_not_grow(shop: Settings, growth: int) -> None:
    """Below the present size it would be another fault, which no disk has: what is there can always be overwritten."""
    before = charges(shop)
    size = (shop.folder / "warehouse.duckdb").stat().st_size
    is_reported(limited(size + growth, shop.folder, "review"), "disk is full")
    assert charges(shop) == before
    assert command(shop.folder, "review") == (0, "")


@pytest.mark.slow
def test_a_folder_that_may_only_be_read(shop: Settings, tmp_path: Path) -> None:
    with small_disk(tmp_path / "disk", "size=40m") as disk:
        folder = disk / "shop"
        shutil.copytree(shop.folder, folder)
        before = charges(load(folder))
        subprocess.run(["mount", "-o", "remount,ro", str(disk)], check=True)
        for words in (("review",), ("backup",), ("replay", "--keep")):
            is_reported(command(folder, *words), "may not be written")
        assert charges(load(folder)) == before
        subprocess.run(["mount", "-o", "remount,rw", str(disk)], check=True)
        assert command(folder, "backup") == (0, "")


@pytest.mark.parametrize("words", [("backup",), ("replay", "--keep"), ("review",)])
def test_two_writers(shop: Settings, capsys: pytest.CaptureFixture[str], words: tuple[str, ...]) -> None:
    with warehouse.writing(shop, "intake"):
        assert main(["--shop", str(shop.folder), *words]) == 1
    assert "is being written by `dunnage intake`" in capsys.readouterr().err


def test_a_restore_waits_for_the_writer_too(shop: Settings, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    made = backup.backup(shop, tmp_path, datetime(2026, 11, 20))
    with warehouse.writing(shop, "intake"):
        assert main(["--shop", str(shop.folder), "restore", "--force", str(made.path)]) == 1
    assert "is being written by `dunnage intake`" in capsys.readouterr().err


def flipped(path: Path) -> None:
    """Every byte of the file's second half."""
    whole = bytearray(path.read_bytes())
    middle = len(whole) // 2
    whole[middle:] = bytes(byte ^ 0xFF for byte in whole[middle:])
    path.write_bytes(whole)


def headless(path: Path) -> None:
    path.write_bytes(b"\0" * 4096 + path.read_bytes()[4096:])


def cut(path: Path) -> None:
    path.write_bytes(path.read_bytes()[: path.stat().st_size // 2])


@pytest.mark.slow
@pytest.mark.parametrize("harm", [flipped, cut][: tries(2, fewest=1)])
def test_a_damaged_warehouse_and_the_way_back(tmp_path: Path, harm: Callable[[Path], None]) -> None:
    shop = built_shop(tmp_path / "shop")
    before = charges(shop)
    made = backup.backup(shop, tmp_path, datetime(2026, 11, 20))
    harm(shop.folder / "warehouse.duckdb")
    is_reported(command(shop.folder, "review"), "dunnage restore", "dunnage replay --keep")
    assert command(shop.folder, "restore", "--force", str(made.path)) == (0, "")
    assert charges(shop) == before
    assert command(shop.folder, "review") == (0, "")


def test_a_damaged_copy_for_readers_is_published_again(shop: Settings, capsys: pytest.CaptureFixture[str]) -> None:
    before = charges(shop)
    copy = shop.folder / "warehouse-reading.duckdb"
    times = copy.stat().st_mtime_ns
    headless(copy)
    os.utime(copy, ns=(times, times))
    assert main(["--shop", str(shop.folder), "rejects"]) == 1
    assert "delete it: it is published again" in capsys.readouterr().err
    copy.unlink()
    assert charges(shop) == before


def test_a_lost_warehouse_comes_back_from_the_archive(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    shop = SmallShop(tmp_path)
    shop.take_one("skus.csv", "Stock no,Kind\nS1,tube\n")
    (tmp_path / "dunnage.toml").write_text("", encoding="utf-8")
    flipped(tmp_path / "warehouse.duckdb")
    (tmp_path / "warehouse.duckdb").rename(tmp_path / "damaged.duckdb")
    assert main(["--shop", str(tmp_path), "replay", "--keep"]) == 0
    assert "1 deliveries are imported again" in capsys.readouterr().out
    assert shop.rows("select sku from accepted.skus") == [("S1",)]


def test_a_clock_that_was_set_back_hides_nothing_from_readers(shop: Settings) -> None:
    """A writer that died after its commit, by a clock that was behind that of the last published copy."""
    charges(shop)
    path, copy = warehouse.files(shop)
    kept = copy.read_bytes()
    with warehouse.writing(shop, "test") as connection:
        connection.execute("update accepted.charges set amount_cents = 1")
    copy.write_bytes(kept)
    earlier = (datetime.now() - timedelta(days=1)).timestamp()
    os.utime(path, (earlier, earlier))
    assert charges(shop) == (3, 3)


@pytest.mark.parametrize(
    ("fault", "words"),
    [
        (OSError(28, "No space left on device", "a.csv"), "disk is full"),
        (PermissionError(13, "Permission denied", "a.csv"), "may not be written or read"),
        (OSError(5, "Input/output error", "a.csv"), "Input/output error"),
        (MemoryError(), "is used up"),
    ],
)
def test_the_machines_troubles_have_names(fault: Exception, words: str) -> None:
    found = machine_errors.named(fault)
    assert isinstance(found, MachineError) and words in str(found)


def test_the_programs_own_faults_are_not_hidden() -> None:
    assert machine_errors.named(ValueError("a bug")) is None
    with warehouse.scratch() as connection, pytest.raises(warehouse.EngineError) as wrong:
        connection.execute("select nothing from nowhere")
    assert machine_errors.named(wrong.value) is None
