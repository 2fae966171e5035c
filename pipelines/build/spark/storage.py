"""Files under one root, reached as Spark itself reaches them: a folder, an object store or a cluster's file system."""

import re
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from models.errors import BuildError

# Spark takes these in a path as a pattern.
_PATTERN_MARKS = re.compile(r"([{}\[\]*?,\\])")


class Storage:
    """`places` are names below the root, with `/` between folders."""

    def __init__(self, root: str, path: Any, configuration: Any) -> None:
        """root: a URL; path, configuration: Hadoop's class Path and the session's configuration of file systems."""
        self.root = root.rstrip("/")
        self._path = path
        self._files = path(self.root).getFileSystem(configuration)

    def url(self, place: str) -> str:
        """The place as Spark writes to it."""
        return f"{self.root}/{place}"

    def pattern(self, place: str) -> str:
        """The place as Spark reads it: marks that it would take as a pattern are meant as they stand."""
        return _PATTERN_MARKS.sub(r"\\\1", self.url(place))

    def names(self, place: str) -> set[str]:
        """What lies directly in a place; nothing where there is no such place."""
        path = self._path(self.url(place))
        if not self._files.exists(path):
            return set()
        return {str(status.getPath().getName()) for status in self._files.listStatus(path)}

    def put(self, local: Path, place: str) -> None:
        """Copy a local file to a place, where it appears whole or not at all. Raises BuildError."""
        arriving, final = self._path(self.url(f"{place}.arriving")), self._path(self.url(place))
        self._files.copyFromLocalFile(False, True, self._path(f"file:{local}"), arriving)
        if not self._files.rename(arriving, final):
            raise BuildError(self.url(place), "cannot be written", "the build; the last one stays", "see who may write")

    def remove(self, place: str) -> None:
        """Remove a file or a folder with all in it; nothing happens where there is none."""
        self._files.delete(self._path(self.url(place)), True)

    @contextmanager
    def fetched(self, place: str, folder: Path) -> Iterator[list[Path]]:
        """The Parquet files of a place as local files; those of another machine are copied below `folder` meanwhile."""
        names = sorted(name for name in self.names(place) if name.endswith(".parquet"))
        if self.root.startswith("file:"):
            yield [Path(self.url(place).removeprefix("file:")) / name for name in names]
            return
        copies = folder / place
        copies.mkdir(parents=True)
        for name in names:
            source, copy = self._path(self.url(f"{place}/{name}")), self._path(f"file:{copies / name}")
            self._files.copyToLocalFile(False, source, copy, True)
        yield [copies / name for name in names]
        shutil.rmtree(copies)
