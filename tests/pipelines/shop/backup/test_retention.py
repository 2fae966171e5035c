"""Scheduled backups: made, kept so long, and nothing else is ever removed."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from models.errors import BackupError, WarehouseError
from models.settings.backup import Backups
from pipelines.shop import backup, run_log
from pipelines.shop.settings import Settings, load
from tests.pipelines.small_shop import small_shop

NOW = datetime(2026, 11, 20, 5)


@pytest.fixture
def shop(tmp_path: Path) -> Settings:
    settings = small_shop(tmp_path / "shop")
    return replace(settings, backup=Backups(when="daily", keep_daily=2, keep_weekly=1, keep_monthly=1))


def test_older_ones_go_and_those_of_others_stay(shop: Settings) -> None:
    place = shop.folder / "backups"
    by_hand = backup.backup(shop, None, NOW - timedelta(days=400)).path
    other = place / "dunnage-another-shop-2020-01-01-050000-scheduled.zip"
    odd = place / "dunnage-fernmoor-optics-2020-99-99-050000-scheduled.zip"
    for path in (other, odd):
        path.write_text("not ours")
    older = [place / f"dunnage-fernmoor-optics-2026-11-{day}-050000-scheduled.zip" for day in (17, 18, 19)]
    for path in older:
        path.write_text("older")
    done = backup.scheduled_backup(shop, NOW)
    assert done.backup.path.name == "dunnage-fernmoor-optics-2026-11-20-050000-scheduled.zip"
    assert done.removed == tuple(older[:2])
    assert set(place.iterdir()) == {by_hand, other, odd, older[2], done.backup.path}
    assert backup.checked(done.backup.path).tables


def test_where_none_is_made_none_goes(shop: Settings) -> None:
    older = [
        shop.folder / "backups" / f"dunnage-fernmoor-optics-2026-01-{day}-050000-scheduled.zip" for day in (10, 20)
    ]
    older[0].parent.mkdir()
    for path in older:
        path.write_text("older")
    whole = (shop.folder / "warehouse.duckdb").read_bytes()
    (shop.folder / "warehouse.duckdb").write_bytes(b"\0" * 4096 + whole[4096:])
    with pytest.raises(WarehouseError):
        backup.scheduled_backup(shop, NOW)
    assert set(older[0].parent.iterdir()) == set(older)


def test_a_disk_that_is_not_connected_is_said_and_not_made(shop: Settings, tmp_path: Path) -> None:
    away = replace(shop, backup=Backups(folder=str(tmp_path / "stick")))
    with pytest.raises(BackupError, match="connect that disk"):
        backup.scheduled_backup(away, NOW)
    assert not (tmp_path / "stick").exists()
    (tmp_path / "stick").mkdir()
    assert backup.scheduled_backup(away, NOW).backup.path.parent == tmp_path / "stick"


def test_the_section_is_read(shop: Settings) -> None:
    path = shop.folder / "dunnage.toml"
    said = '\n[backup]\nwhen = "sunday"\nkeep_daily = 3\n'
    path.write_text(path.read_text(encoding="utf-8") + said, encoding="utf-8")
    assert load(shop.folder).backup == Backups(when="sunday", keep_daily=3)


def test_a_due_backup_is_one_run_a_day(shop: Settings) -> None:
    """By the scheduler's own book, like intake, watch and review."""
    six = datetime(2026, 11, 20, 11, tzinfo=UTC)
    assert [rule.kind for rule in run_log.rules(shop)] == ["backup", "intake", "watch", "review"]
    run_log.begin(shop, six - timedelta(days=1))
    assert [due.kind for due in run_log.due_runs(shop, six)].count("backup") == 1
    for is_due in (True, False):
        with run_log.turn(shop, "backup", six) as taken:
            assert (taken.due is not None) == is_due
    assert "backup" not in [due.kind for due in run_log.due_runs(shop, six)]
