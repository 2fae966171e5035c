"""A restore that is cut off between any two of its renames is finished by whatever the shop does next."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest

from models.errors import BackupError, WarehouseBusyError
from pipelines.shop import backup, durable, swapping, waiting, warehouse
from pipelines.shop.settings import Settings, load
from tests.pipelines.small_shop import small_shop

NOW = datetime(2026, 11, 20, 9, 15)
WEIGHTS = "select count(*) from accepted.weights"


class Killed(BaseException):
    """The process ends here."""


@pytest.fixture(scope="module")
def changed(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """A shop that lost its weights and has another tariff since, and the backup of before."""
    settings = small_shop(tmp_path_factory.mktemp("changed") / "shop")
    (settings.path("tariffs") / "a.csv").write_text("then", encoding="utf-8")
    made = backup.backup(settings, settings.folder.parent, NOW)
    with warehouse.writing(settings, "test") as connection:
        connection.execute("delete from accepted.weights")
    (settings.path("tariffs") / "b.csv").write_text("now", encoding="utf-8")
    return settings.folder, made.path


def killed_at(number: int, monkeypatch: pytest.MonkeyPatch) -> Callable[[], bool]:
    """Let the n-th rename that carries out a journal be the last thing that happens; whether it came so far."""
    renamed, done = durable.replace, [0]

    def rename(fresh: Path, target: Path) -> Path:
        if fresh.suffix in (durable.WRITING, ".publishing"):
            return renamed(fresh, target)
        if done[0] == number:
            raise Killed
        done[0] += 1
        return renamed(fresh, target)

    monkeypatch.setattr(durable, "replace", rename)
    return lambda: done[0] == number


def is_whole(folder: Path) -> None:
    """The restored shop, and what it replaced in one place."""
    with warehouse.reading(load(folder)) as connection:
        assert connection.execute(WEIGHTS).fetchall() == [(3,)]
    assert [path.name for path in (folder / "tariffs").iterdir()] == ["a.csv"]
    (aside,) = folder.glob("replaced-*")
    assert sorted(path.name for path in (aside / "tariffs").iterdir()) == ["a.csv", "b.csv"]
    assert (aside / "warehouse.duckdb").exists() and (aside / "dunnage.toml").exists()
    assert not list(folder.glob("restoring*")) and not (folder / swapping.STAGE).exists()


def test_cut_off_between_any_two_renames(changed: tuple[Path, Path], tmp_path: Path) -> None:
    number, was_killed = 0, True
    while was_killed:
        folder = tmp_path / str(number)
        shutil.copytree(changed[0], folder)
        with pytest.MonkeyPatch.context() as patched:
            reached = killed_at(number, patched)
            try:
                backup.restore(folder, changed[1], is_forced=True, now=NOW)
                was_killed = False
            except Killed:
                assert reached() and swapping.is_pending(folder)
        is_whole(folder)
        shutil.rmtree(folder)
        number += 1
    # Aside: settings, warehouse, copy, tariffs. In: tariffs, settings, copy, warehouse.
    assert number == 9


def test_a_writer_that_knew_the_old_shop_makes_no_empty_warehouse(
    changed: tuple[Path, Path], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One that has read the settings long ago and waited for the lock meanwhile."""
    folder = tmp_path / "shop"
    shutil.copytree(changed[0], folder)
    settings = load(folder)
    with monkeypatch.context() as patched:
        killed_at(4, patched)
        with pytest.raises(Killed):
            backup.restore(folder, changed[1], is_forced=True, now=NOW)
    assert not (folder / "warehouse.duckdb").exists()
    with warehouse.writing(settings, "test") as connection:
        assert connection.execute(WEIGHTS).fetchall() == [(3,)]
    is_whole(folder)


def test_a_reader_that_knew_the_old_shop_finishes_it(
    changed: tuple[Path, Path], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "shop"
    shutil.copytree(changed[0], folder)
    settings = load(folder)
    with monkeypatch.context() as patched:
        killed_at(4, patched)
        with pytest.raises(Killed):
            backup.restore(folder, changed[1], is_forced=True, now=NOW)
    with warehouse.reading(settings) as connection:
        assert connection.execute(WEIGHTS).fetchall() == [(3,)]


def test_one_that_is_at_work_is_waited_for(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / swapping.JOURNAL).write_text("[]", encoding="utf-8")
    monkeypatch.setattr(swapping, "PATIENCE_SECONDS", 0.05)
    with (
        waiting.sole_writer(tmp_path, "restore"),
        pytest.raises(WarehouseBusyError, match="is being written by `dunnage restore`"),
    ):
        load(tmp_path)
    swapping.finish(tmp_path)
    assert not swapping.is_pending(tmp_path)


def test_what_came_in_between_is_not_overwritten(tmp_path: Path) -> None:
    stage = tmp_path / swapping.STAGE
    stage.mkdir()
    (stage / "a").write_text("restored")
    (tmp_path / "a").write_text("came in between")
    (tmp_path / swapping.JOURNAL).write_text(json.dumps([[f"{swapping.STAGE}/a", "a"]]), encoding="utf-8")
    with pytest.raises(BackupError, match="after a restore was cut off"):
        swapping.finish(tmp_path)
    (tmp_path / "a").unlink()
    swapping.finish(tmp_path)
    assert (tmp_path / "a").read_text() == "restored"


def test_a_shop_without_a_swap_asks_for_no_lock(tmp_path: Path) -> None:
    swapping.finish(tmp_path)
    assert list(tmp_path.iterdir()) == []
    assert Settings(folder=tmp_path).path("archive").is_dir()
