"""Whether a text file is plain: proven by its bytes, so that the engine may read it.

Plain is a file whose lines all end alike, whose quotes all open or close a cell within one line or are doubled in it,
and in which nothing needs a judgement. The proof looks at every byte, at the speed of memory.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

import numpy as np
import numpy.typing as npt

from pipelines.intake.reading.line_cells import FOREIGN, Marks
from pipelines.intake.reading.lines import too_long
from pipelines.intake.reading.suspects import Suspects

# Small enough that all looks at a block find it in the processor's cache: twice as fast as with blocks of megabytes.
_BLOCK = 1 << 18
_MARK = b"\xef\xbb\xbf"
_FOREIGN = b"|".join(re.escape(mark.encode()) for mark in FOREIGN)
# The first bytes of the foreign marks: most blocks hold none of them.
_HINTS = tuple({mark.encode()[:1] for mark in FOREIGN})
_LF = 10
Bytes = npt.NDArray[np.uint8]


@dataclass
class Plainness:
    """What the bytes prove of the lines after the header: how many there are, and how many delimiters part cells.

    may_have_mail: an e-mail address may stand among them, since there is an @.
    """

    is_plain: bool = True
    line_count: int = 0
    delimiter_count: int = 0
    has_returns: bool | None = None
    may_have_mail: bool = False


def looked_through(
    path: Path, name: str, marks: Marks, longest: int, skipped: int, headers: Sequence[str]
) -> Plainness:
    """The proof for what follows the first `skipped` lines; without it the counts mean nothing.

    headers: as they stand in the file, none where there is no header.

    Raises SourceFileError for a line far beyond `longest` bytes; at four bytes a character at most.
    """
    found = Plainness(is_plain=len(marks.delimiter.encode()) == 1 and len(marks.quote.encode()) <= 1)
    suspects = Suspects(marks, headers)
    with path.open("rb") as opened:
        for block in _blocks(opened, name, 4 * longest, found):
            feeds = _count(block, _LF)
            lines = feeds + (not block.endswith((b"\n", b"\r")))
            found.is_plain = found.is_plain and _is_plain(block, feeds, marks, found)
            below = _below(block, max(0, skipped - found.line_count))
            found.line_count += lines
            found.is_plain = found.is_plain and not suspects.are_in(below)
            if found.is_plain:
                found.delimiter_count += _delimiters(below, marks)
                found.may_have_mail = found.may_have_mail or b"@" in below
    found.line_count -= skipped
    return found


def _below(block: bytes, skipped: int) -> bytes:
    """The block without its first lines."""
    return block.split(b"\n", skipped)[-1] if skipped else block


def _delimiters(block: bytes, marks: Marks) -> int:
    """Delimiters outside quotes."""
    if not marks.quote or marks.quote.encode() not in block:
        return _count(block, ord(marks.delimiter))
    text = np.frombuffer(block, np.uint8)
    is_within = np.logical_xor.accumulate(text == ord(marks.quote))
    return int(np.count_nonzero((text == ord(marks.delimiter)) & ~is_within))


def _blocks(opened: BinaryIO, name: str, longest: int, found: Plainness) -> Iterator[bytes]:
    """The file in blocks of whole lines."""
    held = [opened.read(len(_MARK)).removeprefix(_MARK)]
    while chunk := opened.read(_BLOCK):
        cut = (chunk.rfind(b"\n") if b"\n" in chunk else chunk.rfind(b"\r")) + 1
        if not cut:
            held.append(chunk)
            if sum(map(len, held)) > longest:
                raise too_long(name, found.line_count + 1, longest // 4)
            continue
        yield b"".join([*held, chunk[:cut]])
        held = [chunk[cut:]]
    if any(held):
        yield b"".join(held)


def _count(block: bytes, mark: int) -> int:
    """How often a byte occurs; several times faster than `bytes.count` where it occurs often."""
    return int(np.count_nonzero(np.frombuffer(block, np.uint8) == mark))


def _is_plain(block: bytes, feeds: int, marks: Marks, found: Plainness) -> bool:
    if not block.isascii() and not _is_utf8(block):
        return False
    if b"\0" in block or (marks.escape and marks.escape.encode() in block):
        return False
    if not marks.are_stated and any(hint in block for hint in _HINTS) and _has_foreign(block, marks):
        return False
    if not _ends_alike(block, feeds, found):
        return False
    return not marks.quote or marks.quote.encode() not in block or _is_well_quoted(block, marks)


def _is_utf8(block: bytes) -> bool:
    try:
        block.decode()
    except UnicodeDecodeError:
        return False
    return True


def _has_foreign(block: bytes, marks: Marks) -> bool:
    """Whether a cell begins with a quote that is not the stated one, within the stated ones too."""
    delimiter, quote = re.escape(marks.delimiter.encode()), re.escape(marks.quote.encode())
    begins = b"(?:^|[\r\n" + delimiter + b"])\\s*(?:" + quote + b")?\\s*(?:" + _FOREIGN + b")"
    return re.search(begins, block) is not None


def _ends_alike(block: bytes, feeds: int, found: Plainness) -> bool:
    returns = b"\r" in block
    if returns and not _count(block, ord("\r")) == feeds == block.count(b"\r\n"):
        return False
    if feeds and found.has_returns is None:
        found.has_returns = returns
    return not feeds or found.has_returns == returns


def _is_well_quoted(block: bytes, marks: Marks) -> bool:
    """Whether quotes open and close cells in turn, within their lines; a doubled one closes and opens again."""
    text = np.frombuffer(block, np.uint8)
    quote, delimiter = ord(marks.quote), ord(marks.delimiter)
    places = np.flatnonzero(text == quote)
    if len(places) % 2 or np.any(np.searchsorted(places, np.flatnonzero(text == _LF)) % 2):
        return False
    around = np.concatenate(([_LF], text, [_LF]))
    before, after = around[places[::2]], around[places[1::2] + 2]
    return _are_all(before, delimiter, _LF, quote) and _are_all(after, delimiter, _LF, ord("\r"), quote)


def _are_all(found: Bytes, *among: int) -> bool:
    return bool(np.isin(found, among).all())
