"""Files that a power cut leaves old or new, never torn: the one place that gives a file its name.

A rename alone is not enough. The file's own blocks must be on the disk before it (or the new name may show an empty
file), and the folder after it (or the old name may come back although a later step was told that it is gone).
"""

import hashlib
import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

try:  # macOS: fsync ends in the drive's own memory, this does not
    from fcntl import F_FULLFSYNC, fcntl  # type: ignore[attr-defined, unused-ignore]
except ImportError:
    F_FULLFSYNC = None

WRITING = ".writing"


def write(path: Path, content: bytes | str, mode: int = 0o600) -> Path:
    """Write a whole file or nothing of it; text as UTF-8. Returns its path."""
    with replacing(path, mode=mode) as fresh:
        fresh.write_bytes(content.encode() if isinstance(content, str) else content)
    return path


@contextmanager
def replacing(target: Path, fresh: Path | None = None, mode: int = 0o600) -> Iterator[Path]:
    """An empty file to be written in the block; at its end it takes the target's name, after an error it is gone.

    fresh: where it lies meanwhile, on the target's disk; by default beside it, under a name that the next run reuses.
    """
    fresh = fresh or target.with_name(target.name + WRITING)
    fresh.unlink(missing_ok=True)
    fresh.touch(mode=mode)
    try:
        yield fresh
        fresh.chmod(mode)
        replace(fresh, target)
    finally:
        fresh.unlink(missing_ok=True)


def replace(fresh: Path, target: Path) -> Path:
    """Rename a written file, or a folder with what is in it, to a place on the same disk. Returns the target."""
    flush(fresh)
    fresh.replace(target)
    for folder in {target.parent, fresh.parent}:
        flush_folder(folder)
    return target


def move(source: Path, target: Path) -> Path:
    """Put a file where it belongs, on whichever disk that is: whole or not at all. Returns the target."""
    if source.stat().st_dev == target.parent.stat().st_dev:
        return replace(source, target)
    with replacing(target) as fresh:
        shutil.copyfile(source, fresh)
    source.unlink()
    return target


def make_folder(path: Path) -> Path:
    """The folder for its owner alone; made, with those above it, where it is missing. Returns its path."""
    if not path.is_dir():
        make_folder(path.parent)
        path.mkdir(mode=0o700, exist_ok=True)
        flush_folder(path.parent)
    return path


@contextmanager
def passing_folder(path: Path) -> Iterator[Path]:
    """A folder for the block, gone at its end; emptied first of what a killed run left there, or of a link."""
    remove_folder(path)
    make_folder(path.parent)
    path.mkdir(mode=0o700, exist_ok=True)
    try:
        yield path
    finally:
        remove_folder(path)


def remove_folder(path: Path) -> None:
    """Remove a folder with all in it; of a link to one the link alone."""
    if path.is_symlink():
        path.unlink()
    shutil.rmtree(path, ignore_errors=True)


def flush(path: Path) -> None:
    """Wait until a file, or a folder with all that lies below it, is on the disk. Links are not followed."""
    if path.is_dir() and not path.is_symlink():
        for within in path.iterdir():
            flush(within)
    flush_folder(path)


def flush_folder(path: Path) -> None:
    """Wait until a folder's own list of names, or a single file, is on the disk."""
    if path.is_symlink() or (
        os.name == "nt" and path.is_dir()
    ):  # a link is its folder's; no folder can be opened there
        return
    opened = os.open(path, os.O_RDONLY if os.name != "nt" else os.O_RDWR)
    try:
        if F_FULLFSYNC is not None:
            fcntl(opened, F_FULLFSYNC)
        else:
            os.fsync(opened)
    finally:
        os.close(opened)


def file_hash(path: Path) -> str:
    """SHA-256 of a file's bytes, read piece by piece."""
    with path.open("rb") as opened:
        return hashlib.file_digest(opened, "sha256").hexdigest()
