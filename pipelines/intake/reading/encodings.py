"""Text in any encoding, brought to UTF-8.

Bytes that the encoding does not know stop the file; or, where lines are read one by one, they are kept as Python
escapes them (PEP 383), so that only their line is lost.
"""

import codecs
import re
from collections.abc import Iterator
from pathlib import Path

from models.errors import SourceFileError
from pipelines.intake.reading.tables import source_error

_CHUNK = 1 << 20
_BEYOND, _ESCAPED = re.compile("[^\x00-\x7f]"), re.compile("[\udc80-\udcff]")
_MARKS = {codecs.BOM_UTF16_LE: "utf-16", codecs.BOM_UTF16_BE: "utf-16"}


def as_utf8(path: Path, name: str, encoding: str, scratch: Path, *, keeps_bytes: bool = False) -> Path:
    """A file of the same text in UTF-8; the file itself where it is stated to be UTF-8.

    keeps_bytes: bytes that an encoding of one byte a letter does not know stay as they are. Raises SourceFileError for
    an unknown encoding, and for other bytes that it does not know with their place.
    """
    codec = _codec(name, encoding)
    _refuse_other_mark(path, name, codec)
    if codec in ("utf-8", "utf-8-sig"):
        return path
    target = scratch / "transcoded"
    try:
        errors = "surrogateescape" if keeps_bytes and _is_of_single_bytes(codec) else "strict"
        with target.open("w", encoding="utf-8", newline="", errors=errors) as out:
            out.writelines(_decoded(path, name, codec, errors))
    except UnicodeEncodeError:
        raise source_error(
            name, f"holds half a character where it is read as {codec}", "state the file's `encoding` in dunnage.toml"
        ) from None
    return target


def looks_like_utf8(path: Path, encoding: str) -> bool:
    """Whether a file that was read in another encoding has letters beyond ASCII, and all of its bytes are UTF-8.

    An encoding of two or more bytes a letter is never mistaken so.
    """
    if codecs.lookup(encoding).name.startswith(("utf", "iso2022", "hz")):
        return False
    return is_utf8(path, beyond_ascii=True)


def is_utf8(path: Path, *, beyond_ascii: bool = False) -> bool:
    """Whether all of a file's bytes are UTF-8, and some of them letters beyond ASCII where that is asked."""
    decoder, has_asked = codecs.getincrementaldecoder("utf-8")(), not beyond_ascii
    with path.open("rb") as opened:
        try:
            while chunk := opened.read(_CHUNK):
                has_asked = has_asked or not chunk.isascii()
                decoder.decode(chunk)
            decoder.decode(b"", final=True)
        except UnicodeDecodeError:
            return False
    return has_asked


def _is_of_single_bytes(codec: str) -> bool:
    return all(len(bytes([byte]).decode(codec, "replace")) == 1 for byte in range(256))


def refuse_unproven(path: Path, name: str) -> None:
    """Raises SourceFileError for a file with bytes that are no UTF-8, unless more of its lines can be nothing else."""
    proven = broken = 0
    with path.open("rb") as opened:
        for line in opened:
            if line.startswith(codecs.BOM_UTF8):
                return
            if not line.isascii():
                is_whole = bool(line.decode("utf-8", "ignore").encode() == line)
                proven, broken = proven + is_whole, broken + (not is_whole)
    if broken >= proven:
        raise undecodable(path, name, "utf-8")


def refuse_unproven_letters(path: Path, name: str) -> None:
    """`refuse_unproven` for a text that need not have lines: by its letters beyond ASCII."""
    proven = broken = 0
    with path.open(encoding="utf-8", errors="surrogateescape") as text:
        while chunk := text.read(_CHUNK):
            if not chunk.isascii():
                escaped = len(_ESCAPED.findall(chunk))
                proven, broken = proven + len(_BEYOND.findall(chunk)) - escaped, broken + escaped
    if broken and broken >= proven:
        raise undecodable(path, name, "utf-8")


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
        # Other codecs of Python, such as hex, turn bytes into bytes: only a text encoding encodes a text.
        "a".encode(encoding)
        return codecs.lookup(encoding).name
    except UnicodeError:
        return codecs.lookup(encoding).name
    except (LookupError, ValueError):
        raise source_error(name, f"encoding {encoding!r} is not known", "correct `encoding` in dunnage.toml") from None


def _refuse_other_mark(path: Path, name: str, codec: str) -> None:
    with path.open("rb") as opened:
        found = _MARKS.get(opened.read(2))
    if found and not codec.startswith("utf-16"):
        raise source_error(
            name, f"is {found}, not {codec}", f'write encoding = "{found}" for this source in dunnage.toml'
        )


def _decoded(path: Path, name: str, codec: str, errors: str = "strict") -> Iterator[str]:
    decoder = codecs.getincrementaldecoder(codec)(errors)
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
