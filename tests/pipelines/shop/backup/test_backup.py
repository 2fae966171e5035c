"""A backup is whole or refused, and what it replaces is set aside."""

from __future__ import annotations

import hashlib
import json
import shutil
import zipfile
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest

from models.errors import BackupError, NotFoundError
from pipelines.cli import main
from pipelines.shop import backup, warehouse
from pipelines.shop.backup import Backup, making
from pipelines.shop.settings import Settings, load
from tests.pipelines.small_shop import small_shop

NOW = datetime(2026, 11, 20, 9, 15)
LATER = datetime(2026, 11, 21, 9, 15)


@pytest.fixture
def shop(tmp_path: Path) -> Settings:
    """A shop with records, an archived file, a tariff and a log."""
    settings = small_shop(tmp_path / "shop")
    (settings.path("archive") / "abc-sales.parquet").write_bytes(bytes(range(256)) * 1000)
    (settings.path("tariffs") / "northline.csv").write_text("zone,price\n1,2\n", encoding="utf-8")
    (settings.folder / "decisions.toml").write_text("# none yet\n", encoding="utf-8")
    return settings


def parcels(settings: Settings) -> int:
    with warehouse.reading(settings) as connection:
        return int(connection.execute("select count(*) from accepted.weights").fetchall()[0][0])


def change(settings: Settings) -> None:
    with warehouse.writing(settings, "test") as connection:
        connection.execute("delete from accepted.weights")
    (settings.path("tariffs") / "later.csv").write_text("zone,price\n1,3\n", encoding="utf-8")


def test_what_was_backed_up_comes_back(shop: Settings, tmp_path: Path) -> None:
    made = backup.backup(shop, tmp_path / "stick", NOW)
    assert made.path.name == "dunnage-fernmoor-optics-2026-11-20-091500.zip"
    assert made.path.stat().st_mode & 0o077 == 0
    again = tmp_path / "again"
    done = backup.restore(again, made.path, is_forced=False, now=NOW)
    assert done.set_aside is None and done.file_count == len(made.hashes) == 5
    for name in ("dunnage.toml", "decisions.toml", "archive/abc-sales.parquet", "tariffs/northline.csv"):
        assert (again / name).read_bytes() == (shop.folder / name).read_bytes()
        assert (again / name).stat().st_mode & 0o077 == 0
    assert parcels(load(again)) == parcels(shop) == 3


def test_readers_go_on_while_a_backup_is_made(shop: Settings, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    seen = []
    packed = making._pack
    parcels(shop)

    def pack_and_read(made: Backup, settings: Settings, copy: Path) -> None:
        packed(made, settings, copy)
        seen.append(parcels(shop))

    monkeypatch.setattr(making, "_pack", pack_and_read)
    backup.backup(shop, tmp_path, NOW)
    assert seen == [3]


def test_nothing_is_overwritten_unless_forced_and_then_set_aside(shop: Settings) -> None:
    made = backup.backup(shop, None, NOW)
    change(shop)
    with pytest.raises(BackupError, match=r"holds warehouse\.duckdb.*--force"):
        backup.restore(shop.folder, made.path, is_forced=False, now=LATER)
    assert parcels(shop) == 0
    done = backup.restore(shop.folder, made.path, is_forced=True, now=LATER)
    assert done.set_aside == shop.folder / "replaced-2026-11-21-091500"
    assert parcels(shop) == 3
    # A tariff that came later would change what the restored shop reckons.
    assert [path.name for path in (shop.folder / "tariffs").iterdir()] == ["northline.csv"]
    assert (done.set_aside / "tariffs" / "later.csv").exists()


def test_a_backup_of_another_shop_is_refused_even_if_forced(shop: Settings, tmp_path: Path) -> None:
    made = backup.backup(shop, tmp_path, NOW)
    other = tmp_path / "other"
    other.mkdir()
    (other / "dunnage.toml").write_text('[shop]\nname = "Another"\n', encoding="utf-8")
    with pytest.raises(BackupError, match=r"'Fernmoor Optics'.*'Another'"):
        backup.restore(other, made.path, is_forced=True, now=NOW)


def turned(path: Path) -> None:
    """Bytes in the middle of the largest member: of headers a reader looks at some bits alone, and one bit of what is
    packed may stand for the same (in a run of zeros it does not matter how far back they are copied from)."""
    with zipfile.ZipFile(path) as packed:
        largest = max(packed.infolist(), key=lambda member: member.compress_size)
    whole = bytearray(path.read_bytes())
    middle = largest.header_offset + largest.compress_size // 2
    whole[middle : middle + 64] = bytes(byte ^ 0xFF for byte in whole[middle : middle + 64])
    path.write_bytes(whole)


def cut(path: Path) -> None:
    path.write_bytes(path.read_bytes()[:-100])


def rewritten(path: Path, change: Callable[[dict[str, bytes]], None]) -> None:
    with zipfile.ZipFile(path) as packed:
        members = {name: packed.read(name) for name in packed.namelist()}
    change(members)
    with zipfile.ZipFile(path, "w") as packed:
        for name, content in members.items():
            packed.writestr(name, content)


def altered(members: dict[str, bytes]) -> None:
    members["tariffs/northline.csv"] = b"zone,price\n1,9\n"


def lacking(members: dict[str, bytes]) -> None:
    del members["archive/abc-sales.parquet"]


def added(members: dict[str, bytes]) -> None:
    members["archive/more"] = b""


def newer(members: dict[str, bytes]) -> None:
    members["manifest.json"] = json.dumps(json.loads(members["manifest.json"]) | {"version": 9}).encode()


def unmarked(members: dict[str, bytes]) -> None:
    members["manifest.json"] = b"[]"


@pytest.mark.parametrize(
    ("harm", "said"),
    [
        (turned, "is damaged"),
        (cut, "is damaged"),
        (lambda path: rewritten(path, altered), r"is damaged: tariffs/northline\.csv has another content"),
        (lambda path: rewritten(path, lacking), "not those of its manifest"),
        (lambda path: rewritten(path, added), "not those of its manifest"),
        (lambda path: rewritten(path, newer), "newer version"),
        (lambda path: rewritten(path, unmarked), "is no backup that dunnage made"),
        (lambda path: path.write_text("no zip file"), "is damaged"),
        (Path.unlink, "is not there"),
    ],
)
def test_a_damaged_or_foreign_backup_is_refused(
    shop: Settings, tmp_path: Path, harm: Callable[[Path], None], said: str
) -> None:
    made = backup.backup(shop, tmp_path, NOW)
    harm(made.path)
    with pytest.raises(BackupError, match=said):
        backup.restore(tmp_path / "again", made.path, is_forced=True, now=NOW)
    assert not (tmp_path / "again").exists()


@pytest.mark.parametrize(
    "member", ["../out.toml", "archive/../../out", "/tmp/out.toml", "archive/C:\\out", "reviews/x"]
)
def test_no_member_leads_out_of_the_folder(shop: Settings, tmp_path: Path, member: str) -> None:
    made = backup.backup(shop, tmp_path, NOW)

    def led_out(members: dict[str, bytes]) -> None:
        said = json.loads(members["manifest.json"])
        said["sha256"][member] = said["sha256"]["dunnage.toml"]
        members["manifest.json"] = json.dumps(said).encode()
        members[member] = members["dunnage.toml"]

    rewritten(made.path, led_out)
    with pytest.raises(BackupError, match="not those of its manifest"):
        backup.restore(tmp_path / "again", made.path, is_forced=False, now=NOW)


@pytest.mark.parametrize("place", ["../outside", "/tmp/outside", "archive/../../outside"])
def test_no_settings_of_a_backup_lead_out_of_the_folder(shop: Settings, tmp_path: Path, place: str) -> None:
    made = backup.backup(shop, tmp_path, NOW)

    def led_out(members: dict[str, bytes]) -> None:
        said = json.loads(members["manifest.json"])
        members["dunnage.toml"] += f'\n[folders]\narchive = "{place}"\n'.encode()
        said["sha256"]["dunnage.toml"] = hashlib.sha256(members["dunnage.toml"]).hexdigest()
        members["manifest.json"] = json.dumps(said).encode()

    rewritten(made.path, led_out)
    with pytest.raises(BackupError, match="not a folder of its own inside the shop's folder"):
        backup.restore(tmp_path / "again", made.path, is_forced=False, now=NOW)
    assert not list((tmp_path / "again").glob("archive*"))


def test_nothing_to_back_up(tmp_path: Path) -> None:
    with pytest.raises(NotFoundError, match="has no records yet"):
        backup.backup(Settings(folder=tmp_path), None, NOW)


def test_the_demo_shop_by_the_commands(demo_folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = tmp_path / "shop"
    shutil.copytree(demo_folder, folder, ignore=shutil.ignore_patterns("inbox", "reviews"))
    assert main(["--shop", str(folder), "backup", str(tmp_path)]) == 0
    (made,) = tmp_path.glob("*.zip")
    assert "verified" in capsys.readouterr().out
    assert main(["--shop", str(tmp_path / "again"), "restore", str(made)]) == 0
    assert "Fernmoor Optics, as of" in capsys.readouterr().out
    assert parcels(load(tmp_path / "again")) == parcels(load(folder)) > 0
    assert main(["--shop", str(folder), "restore", str(made)]) == 1
    assert "set aside, not deleted" in capsys.readouterr().err
