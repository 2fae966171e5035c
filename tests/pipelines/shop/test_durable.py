"""A file that has its new name is on the disk, and so is the name."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from pipelines.shop import durable


@pytest.fixture
def steps(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """What reached the disk and what was renamed, in order."""
    seen: list[str] = []
    fsync, rename = os.fsync, Path.replace

    def flushed(opened: int) -> None:
        seen.append(f"flush {Path(f'/proc/self/fd/{opened}').readlink().name}")
        fsync(opened)

    def renamed(path: Path, target: Path) -> Path:
        seen.append(f"rename {path.name} {target.name}")
        return rename(path, target)

    monkeypatch.setattr(os, "fsync", flushed)
    monkeypatch.setattr(Path, "replace", renamed)
    monkeypatch.setattr(durable, "F_FULLFSYNC", None)
    return seen


def test_the_file_before_its_name_and_the_folder_after(tmp_path: Path, steps: list[str]) -> None:
    durable.write(tmp_path / "a.toml", "x = 'ü'\n")
    assert (tmp_path / "a.toml").read_text(encoding="utf-8") == "x = 'ü'\n"
    assert steps == ["flush a.toml.writing", "rename a.toml.writing a.toml", f"flush {tmp_path.name}"]


def test_a_folder_with_all_in_it(tmp_path: Path, steps: list[str]) -> None:
    (tmp_path / "fresh" / "deep").mkdir(parents=True)
    (tmp_path / "fresh" / "deep" / "a").write_text("a")
    durable.replace(tmp_path / "fresh", tmp_path / "final")
    assert steps == ["flush a", "flush deep", "flush fresh", "rename fresh final", f"flush {tmp_path.name}"]


def test_a_folder_that_is_made_is_known_to_the_one_above(tmp_path: Path, steps: list[str]) -> None:
    assert durable.make_folder(tmp_path / "a" / "b").stat().st_mode & 0o077 == 0
    assert steps == [f"flush {tmp_path.name}", "flush a"]
    durable.make_folder(tmp_path / "a" / "b")
    assert len(steps) == 2


def test_an_error_leaves_what_was_there(tmp_path: Path) -> None:
    target = tmp_path / "a"
    target.write_text("old")
    with pytest.raises(OSError, match="full"), durable.replacing(target) as fresh:
        fresh.write_text("new")
        raise OSError("full")
    assert [path.name for path in tmp_path.iterdir()] == ["a"] and target.read_text() == "old"


def test_a_torn_file_of_a_killed_run_is_replaced(tmp_path: Path) -> None:
    (tmp_path / "a.writing").write_text("torn and longer")
    durable.write(tmp_path / "a", b"new", mode=0o640)
    assert (tmp_path / "a").read_bytes() == b"new" and (tmp_path / "a").stat().st_mode & 0o777 == 0o640
    assert not (tmp_path / "a.writing").exists()


def test_a_link_in_the_way_of_the_fresh_file_is_not_followed(tmp_path: Path) -> None:
    (tmp_path / "elsewhere").write_text("mine")
    (tmp_path / "a.writing").symlink_to(tmp_path / "elsewhere")
    durable.write(tmp_path / "a", "new")
    assert (tmp_path / "elsewhere").read_text() == "mine" and (tmp_path / "a").read_text() == "new"


def test_another_disk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What lies on another disk is copied beside its place first: a rename cannot cross."""
    source, target = tmp_path / "source", tmp_path / "there" / "a"
    source.write_text("x")
    target.parent.mkdir()
    device = os.stat

    def elsewhere(path: Path, **more: bool) -> os.stat_result:
        found = device(path, **more)
        return os.stat_result((*found[:2], found[2] + 1, *found[3:])) if Path(path) == source else found

    monkeypatch.setattr(os, "stat", elsewhere)
    assert durable.move(source, target).read_text() == "x"
    assert not source.exists() and [path.name for path in target.parent.iterdir()] == ["a"]
