"""Paths in which no character means anything to the engine.

The engine takes `*`, `?` and `[` in a path for a pattern, `name=value` for a partition, and has no way to write such
a character plainly in every path. Therefore it is only told fixed names of files, in a folder named without them.
"""

import os
import re
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

_PLAIN = re.compile(r"(/[\w .+\-]+)+", re.ASCII)
_OPEN_FOLDERS = Path("/proc/self/fd")


@contextmanager
def plain_folder(folder: Path) -> Iterator[Path]:
    """The folder itself where its path is plain, else another way to it that is; gone at the end."""
    absolute = folder.resolve()
    if _PLAIN.fullmatch(str(absolute)):
        yield absolute
    elif _OPEN_FOLDERS.is_dir():
        # Nothing is left behind, however the process ends.
        opened = os.open(absolute, os.O_RDONLY)
        try:
            yield _OPEN_FOLDERS / str(opened)
        finally:
            os.close(opened)
    else:
        with tempfile.TemporaryDirectory(prefix="dunnage-") as beside:
            link = Path(beside) / "folder"
            link.symlink_to(absolute, target_is_directory=True)
            yield link


@contextmanager
def plain_file(path: Path, scratch: Path, name: str) -> Iterator[Path]:
    """The file under a fixed name in the scratch folder, whatever it is called: a link, no copy."""
    link = scratch / name
    link.unlink(missing_ok=True)
    link.symlink_to(path.resolve())
    try:
        with plain_folder(scratch) as folder:
            yield folder / name
    finally:
        link.unlink(missing_ok=True)
