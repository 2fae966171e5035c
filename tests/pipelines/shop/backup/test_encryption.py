"""Encrypted backups: another program of the format opens them, and no altered one opens.

The referee is pyrage (the Rust library `rage`), an implementation of the published format C2SP "age-encryption.org/v1"
that shares no code with ours.
"""

from __future__ import annotations

import os
from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest
from pyrage import passphrase as referee

from models.errors import BackupError
from models.settings.backup import Backups
from pipelines.cli import main
from pipelines.shop import backup, warehouse
from pipelines.shop.backup import encryption
from pipelines.shop.settings import load
from tests.pipelines.small_shop import small_shop

NOW = datetime(2026, 11, 20, 5)
SECRET = "four words für Fernmoor"
CHUNK = 64 << 10
# Few rounds: what they cost is not under test.
WORK = 10


@pytest.fixture
def known(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(encryption.PASSPHRASE_VARIABLE, SECRET)


def sealed(tmp_path: Path, content: bytes) -> Path:
    (tmp_path / "plain").write_bytes(content)
    encryption.seal(tmp_path / "plain", tmp_path / "sealed", SECRET, WORK)
    return tmp_path / "sealed"


@pytest.mark.published
@pytest.mark.parametrize("size", [0, 1, CHUNK - 1, CHUNK, CHUNK + 1, 3 * CHUNK])
def test_another_program_reads_ours_and_we_read_its(tmp_path: Path, size: int) -> None:
    """https://c2sp.org/age, sections "The scrypt recipient type" and "Payload"."""
    content = os.urandom(size)
    assert referee.decrypt(sealed(tmp_path, content).read_bytes(), SECRET) == content


@pytest.mark.slow
@pytest.mark.published
def test_we_read_what_another_program_wrote(tmp_path: Path) -> None:
    content = os.urandom(2 * CHUNK + 5)
    (tmp_path / "its").write_bytes(referee.encrypt(content, SECRET))
    encryption.unseal(tmp_path / "its", tmp_path / "back", SECRET)
    assert (tmp_path / "back").read_bytes() == content


def test_no_altered_byte_passes(tmp_path: Path) -> None:
    """One bit of every part: version, salt, rounds, wrapped key, code, nonce, first, middle and last chunk."""
    whole = sealed(tmp_path, bytes(2 * CHUNK + 100)).read_bytes()
    head = whole.index(b"\n---")
    places = [3, 32, head - 60, head - 10, head + 10, head + 55, head + 70, len(whole) // 2, len(whole) - 1]
    for place in places:
        altered = bytearray(whole)
        altered[place] ^= 1
        (tmp_path / "sealed").write_bytes(altered)
        with pytest.raises(BackupError, match=r"damaged|passphrase"):
            encryption.unseal(tmp_path / "sealed", tmp_path / "back", SECRET)


@pytest.mark.parametrize("lost", [1, 116, 116 + CHUNK + 16, 2 * CHUNK + 160])
def test_what_is_cut_off_is_refused_at_a_chunk_s_end_too(tmp_path: Path, lost: int) -> None:
    whole = sealed(tmp_path, bytes(2 * CHUNK + 100)).read_bytes()
    (tmp_path / "sealed").write_bytes(whole[:-lost])
    with pytest.raises(BackupError, match="cut off or altered"):
        encryption.unseal(tmp_path / "sealed", tmp_path / "back", SECRET)


def test_chunks_that_trade_places_or_follow_the_last_are_refused(tmp_path: Path) -> None:
    whole = sealed(tmp_path, os.urandom(2 * CHUNK + 100)).read_bytes()
    piece = CHUNK + 16
    start = len(whole) - 2 * piece - 116
    first, second, last = whole[start : start + piece], whole[start + piece : start + 2 * piece], whole[-116:]
    for wrong in (second + first + last, first + second + last + last, first + last):
        (tmp_path / "sealed").write_bytes(whole[:start] + wrong)
        with pytest.raises(BackupError, match="cut off or altered"):
            encryption.unseal(tmp_path / "sealed", tmp_path / "back", SECRET)


def test_a_file_that_asks_for_endless_work_is_refused_at_once(tmp_path: Path) -> None:
    whole = sealed(tmp_path, b"x").read_bytes()
    (tmp_path / "sealed").write_bytes(whole.replace(b" 10\n", b" 40\n", 1))
    with pytest.raises(BackupError):
        encryption.unseal(tmp_path / "sealed", tmp_path / "back", SECRET)


@pytest.mark.slow
def test_an_encrypted_backup_by_the_commands(
    tmp_path: Path, known: None, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    shop = small_shop(tmp_path / "shop")
    settings = shop.folder / "dunnage.toml"
    settings.write_text(settings.read_text(encoding="utf-8") + "\n[backup]\nencrypted = true\n", encoding="utf-8")
    assert main(["--shop", str(shop.folder), "backup", str(tmp_path)]) == 0
    (made,) = tmp_path.glob("*.zip.age")
    assert "without its passphrase it is lost" in " ".join(capsys.readouterr().out.split())
    assert made.stat().st_mode & 0o077 == 0 and b"dunnage.toml" not in made.read_bytes()
    again = tmp_path / "again"
    for wrong, words in (("guess", "does not open by this passphrase"), ("", "none is known")):
        monkeypatch.setenv(encryption.PASSPHRASE_VARIABLE, wrong)
        assert main(["--shop", str(again), "restore", str(made)]) == 1
        assert words in capsys.readouterr().err and not again.exists()
    monkeypatch.setenv(encryption.PASSPHRASE_VARIABLE, SECRET)
    assert main(["--shop", str(again), "restore", str(made)]) == 0
    assert str(made) not in {path.name for path in again.iterdir()}
    with warehouse.reading(load(again)) as connection:
        assert connection.execute("select count(*) from accepted.weights").fetchall() == [(3,)]
    assert not list(again.glob(".*"))


def test_without_a_passphrase_no_backup_is_made(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv(encryption.PASSPHRASE_VARIABLE, raising=False)
    shop = replace(small_shop(tmp_path / "shop"), backup=Backups(encrypted=True))
    with pytest.raises(BackupError, match="needs a passphrase"):
        backup.backup(shop, tmp_path, NOW)
    assert not list(tmp_path.glob("*.zip*"))
