"""A backup from a stranger changes nothing where it is refused, and writes nowhere but in the shop's folder."""

from __future__ import annotations

import shutil
from datetime import datetime
from pathlib import Path

import pytest

from models.errors import BackupError, DunnageError
from pipelines.cli import main
from pipelines.shop import backup, warehouse
from pipelines.shop.settings import Folders, Settings, load
from tests.pipelines.shop.backup.hostile import HOSTILE, Forged, lying_there, with_folders
from tests.pipelines.small_shop import small_shop

NOW = datetime(2026, 11, 20, 9, 15)


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Settings:
    settings = small_shop(tmp_path_factory.mktemp("hostile") / "shop")
    (settings.path("tariffs") / "northline.csv").write_text("zone,price\n1,2\n", encoding="utf-8")
    (settings.path("archive") / "abc.parquet").write_bytes(bytes(range(256)))
    (settings.path("outbox") / "a.eml").write_text("letter", encoding="utf-8")
    return settings


@pytest.fixture(scope="module")
def sound(shop: Settings, tmp_path_factory: pytest.TempPathFactory) -> Path:
    return backup.backup(shop, tmp_path_factory.mktemp("stick"), NOW).path


def world(shop: Settings, tmp_path: Path) -> Path:
    """A folder with a shop in it and something beside it that must stay as it is."""
    shutil.copytree(shop.folder, tmp_path / "world" / "shop")
    (tmp_path / "world" / "outside").mkdir()
    (tmp_path / "world" / "outside" / "mine").write_text("mine", encoding="utf-8")
    return tmp_path / "world"


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_backup_is_refused_and_changes_nothing(
    shop: Settings, sound: Path, tmp_path: Path, name: str
) -> None:
    forged, place = Forged.of(sound), world(shop, tmp_path)
    HOSTILE[name](forged)
    forged.pack(tmp_path / "forged.zip")
    before = dict(lying_there(place))
    with pytest.raises(BackupError) as refused:
        backup.restore(place / "shop", tmp_path / "forged.zip", is_forced=True, now=NOW)
    assert "nothing was changed" in str(refused.value)
    assert dict(lying_there(place)) == before


def test_what_is_packed_again_unchanged_is_sound(shop: Settings, sound: Path, tmp_path: Path) -> None:
    """Else the test above would show nothing."""
    place = world(shop, tmp_path)
    Forged.of(sound).pack(tmp_path / "forged.zip")
    backup.restore(place / "shop", tmp_path / "forged.zip", is_forced=True, now=NOW)


def test_folders_that_lay_elsewhere_are_taken_in_if_asked(shop: Settings, sound: Path, tmp_path: Path) -> None:
    place, forged = world(shop, tmp_path), Forged.of(sound)
    with_folders(f'archive = "{place}/outside"\noutbox = "../outside"\ninbox = "in"')(forged)
    forged.pack(tmp_path / "nas.zip")
    outside = dict(lying_there(place / "outside"))
    done = backup.restore(place / "shop", tmp_path / "nas.zip", is_forced=True, now=NOW, is_taken_in=True)
    assert done.moved_in == ("archive", "outbox")
    assert load(place / "shop").folders == Folders(inbox="in")
    assert (place / "shop" / "archive" / "abc.parquet").exists()
    assert dict(lying_there(place / "outside")) == outside


@pytest.mark.parametrize("name", ["archive", "tariffs", "warehouse.duckdb", ".restoring", "dunnage.toml"])
def test_a_link_in_the_shop_is_moved_and_not_followed(shop: Settings, sound: Path, tmp_path: Path, name: str) -> None:
    place = world(shop, tmp_path)
    there, outside = place / "shop" / name, place / "outside"
    if there.is_dir():
        shutil.rmtree(there)
    there.unlink(missing_ok=True)
    (outside / name).mkdir() if "." not in name[1:] else (outside / name).write_text('[shop]\nname = "Fernmoor Optics"')
    there.symlink_to(outside / name)
    before = dict(lying_there(outside))
    done = backup.restore(place / "shop", sound, is_forced=True, now=NOW)
    assert dict(lying_there(outside)) == before
    assert not there.is_symlink()
    if name != ".restoring":
        assert done.set_aside and (done.set_aside / name).is_symlink()
    with warehouse.reading(load(place / "shop")) as connection:
        assert connection.execute("select count(*) from accepted.weights").fetchall() == [(3,)]


@pytest.mark.parametrize("is_link", [True, False])
def test_a_link_or_a_file_above_a_folder_is_refused(shop: Settings, sound: Path, tmp_path: Path, is_link: bool) -> None:
    place, forged = world(shop, tmp_path), Forged.of(sound)
    with_folders('archive = "kept/archive"')(forged)
    forged.pack(tmp_path / "nested.zip")
    above = place / "shop" / "kept"
    above.symlink_to(place / "outside") if is_link else above.write_text("mine")
    with pytest.raises(BackupError, match="is a link or a file"):
        backup.restore(place / "shop", tmp_path / "nested.zip", is_forced=True, now=NOW)
    assert [path.name for path in (place / "outside").iterdir()] == ["mine"]


def test_a_backup_that_needs_more_than_is_free(
    shop: Settings, sound: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(shutil, "disk_usage", lambda path: shutil._ntuple_diskusage(10**9, 10**9 - 5, 5))
    with pytest.raises(BackupError, match="5 are free"):
        backup.restore(tmp_path / "again", sound, is_forced=True, now=NOW)


def test_settings_that_cannot_be_read_are_replaced_by_force(shop: Settings, sound: Path, tmp_path: Path) -> None:
    place = world(shop, tmp_path)
    (place / "shop" / "dunnage.toml").write_text("[shop\n", encoding="utf-8")
    with pytest.raises(DunnageError):
        backup.restore(place / "shop", sound, is_forced=False, now=NOW)
    done = backup.restore(place / "shop", sound, is_forced=True, now=NOW)
    assert load(place / "shop").shop.name == "Fernmoor Optics"
    assert done.set_aside and (done.set_aside / "dunnage.toml").read_text(encoding="utf-8") == "[shop\n"


def test_a_name_that_no_backup_may_hold_is_refused_when_it_is_made(shop: Settings, tmp_path: Path) -> None:
    place = world(shop, tmp_path)
    (place / "shop" / "tariffs" / "a:b.csv").write_text("x", encoding="utf-8")
    with pytest.raises(BackupError, match=r"a:b\.csv.*rename that file"):
        backup.backup(load(place / "shop"), None, NOW)


def test_settings_that_only_an_older_version_took_come_back_and_are_said(
    shop: Settings, sound: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A wage below zero: no command takes it now, but the shop's records must not be lost for it."""
    forged = Forged.of(sound)
    forged.members["dunnage.toml"] = b'[shop]\nname = "Fernmoor Optics"\nwage_cents_per_hour = -1\n'
    forged.pack(tmp_path / "older.zip")
    assert main(["--shop", str(tmp_path / "again"), "restore", str(tmp_path / "older.zip")]) == 0
    assert "wage_cents_per_hour = -1 is too small" in " ".join(capsys.readouterr().out.split())
    with warehouse.reading(Settings(folder=tmp_path / "again")) as connection:
        assert connection.execute("select count(*) from accepted.weights").fetchall() == [(3,)]
