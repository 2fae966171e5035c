"""Text in any encoding, brought to UTF-8. Bytes that the stated encoding does not know stop the file."""

from __future__ import annotations

import codecs
from collections.abc import Iterator
from pathlib import Path

from models.errors import SourceFileError
from pipelines.reading.tables import source_error

_CHUNK = 1 << 20
_MARKS = {codecs.BOM_UTF16_LE: "utf-16", codecs.BOM_UTF16_BE: "utf-16"}


def as_utf8(path: Path, name: str, encoding: str, scratch: Path) -> Path:
    """A file of the same text in UTF-8; the file itself where it is stated to be UTF-8.

    Raises SourceFileError for an unknown encoding, and for bytes it does not know with their place.
    """
    codec = _codec(name, encoding)
    _refuse_other_mark(path, name, codec)
    if codec in ("utf-8", "utf-8-sig"):
        return path
    target = scratch / "transcoded"
    with target.open("w", encoding="utf-8", newline="") as out:
        out.writelines(_decoded(path, name, codec))
    return target


def undecodable(path: Path, name: str, encoding: str) -> SourceFileError:
    """The error for the first byte that is not `encoding`."""
    try:
        for _ in _decoded(path, name, _codec(name, encoding)):
            pass
    except SourceFileError as found:
        return found
    return source_error(name, f"is not {encoding}")


def _codec(name: str, encoding: str) -> str:
    try:
        return codecs.lookup(encoding).name
    except LookupError:
        raise source_error(name, f"encoding {encoding!r} is not known", "mend `encoding` in dunnage.toml") from None


def _refuse_other_mark(path: Path, name: str, codec: str) -> None:
    with path.open("rb") as opened:
        found = _MARKS.get(opened.read(2))
    if found and not codec.startswith("utf-16"):
        raise source_error(
            name, f"is {found}, not {codec}", f'write encoding = "{found}" for this source in dunnage.toml'
        )


def _decoded(path: Path, name: str, codec: str) -> Iterator[str]:
    decoder = codecs.getincrementaldecoder(codec)()
    offset, lines, waiting = 0, 1, 0
    with path.open("rb") as opened:
        while True:
            chunk = opened.read(_CHUNK)
            try:
                text = decoder.decode(chunk, final=not chunk)
            except UnicodeError as wrong:
                raise _place(name, codec, wrong, offset - waiting, lines) from None
            offset += len(chunk)
            lines += text.count("\n")
            waiting = len(decoder.getstate()[0])
            if text:
                yield text
            if not chunk:
                return


def _place(name: str, codec: str, wrong: UnicodeError, offset: int, lines: int) -> SourceFileError:
    if not isinstance(wrong, UnicodeDecodeError):
        return source_error(name, f"is not {codec}: {wrong}", "state the file's `encoding` in dunnage.toml")
    before = wrong.object[: wrong.start]
    line = lines + (before.count(b"\n\x00") if codec.startswith("utf-16-le") else before.count(b"\n"))
    return source_error(
        name,
        f"byte {offset + wrong.start} (line {line}) is not {codec}",
        "state the file's `encoding` in dunnage.toml, often windows-1252",
    )
