"""The process that opens pictures and documents: what it is sent is one line of JSON, what it answers another.

Only three decoders are ever tried, the size is looked at before a pixel is decoded, and the copy that leaves is a new
picture of the pixels alone: no place, no camera, no text, no profile, nothing behind the picture's end.
"""

import contextlib
import json
import re
import signal
import sys
import zlib
from pathlib import Path
from typing import Any

MOST_PIXELS = 100_000_000
# A copy is no larger on its longest side: enough to read a label.
LONGEST_SIDE = 2_000
QUALITY = 85
SECONDS, MEMORY_BYTES = 10, 1_500_000_000
MOST_UNFOLDED = 64 << 20
# What makes a document act by itself, or hides others in it. Every way to a script names one of these; shorter names
# (JS, AA) would be found by chance among the bytes of a picture.
ACTIVE = re.compile(rb"/(?:JavaScript|Launch|EmbeddedFiles?|RichMedia|XFA|Encrypt|SubmitForm|ImportData|GoToE)\b")
_STREAM = re.compile(rb"stream\r?\n")
_ESCAPED = re.compile(rb"#([0-9A-Fa-f]{2})")


def serve() -> None:
    """Answer until the pipe closes."""
    from PIL import Image

    _limit_memory()
    Image.MAX_IMAGE_PIXELS = MOST_PIXELS
    for line in sys.stdin:
        request = json.loads(line)
        _limit_time()
        try:
            answer = _answer(request)
        except MemoryError:
            raise
        except Exception as broken:
            answer = f"cannot be read as {request['kind']} ({type(broken).__name__})"
        print(json.dumps(answer), flush=True)


def _limit_memory() -> None:
    with contextlib.suppress(ImportError, ValueError, OSError):  # systems without it hold the limits of size only
        import resource

        resource.setrlimit(resource.RLIMIT_AS, (MEMORY_BYTES, MEMORY_BYTES))


def _limit_time() -> None:
    """So much of the processor for the file that comes; beyond it the system ends the process."""
    with contextlib.suppress(ImportError, ValueError, OSError):
        import resource

        used = resource.getrusage(resource.RUSAGE_SELF)
        _, hard = resource.getrlimit(resource.RLIMIT_CPU)
        resource.setrlimit(resource.RLIMIT_CPU, (int(used.ru_utime + used.ru_stime) + SECONDS, hard))
        signal.signal(signal.SIGXCPU, signal.SIG_DFL)


def _answer(request: dict[str, Any]) -> str:
    path, kind = Path(request["path"]), str(request["kind"])
    if kind == "PDF":
        fault = document_fault(path.read_bytes())
        if not fault and request["do"] == "copy":
            Path(request["target"]).write_bytes(path.read_bytes())
        return fault
    return _picture(path, kind, Path(request["target"]) if request["do"] == "copy" else None)


def _picture(path: Path, kind: str, target: Path | None) -> str:
    from PIL import Image, ImageOps

    with Image.open(path, formats=(kind,)) as opened:
        if opened.width * opened.height > MOST_PIXELS:
            return f"has {opened.width} x {opened.height} pixels, more than a camera's picture"
        opened.draft("RGB", (LONGEST_SIDE, LONGEST_SIDE))  # a JPEG is decoded no larger than needed
        opened.load()
        if target is None:
            return ""
        upright = ImageOps.exif_transpose(opened)
        upright.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
        plain = Image.new("RGB", upright.size, "white")
        plain.paste(upright.convert("RGBA"), mask=upright.convert("RGBA").getchannel("A"))
        plain.save(target, "JPEG", quality=QUALITY)
    return ""


def document_fault(content: bytes) -> str:
    """Why a document may not be used; empty where nothing in it acts by itself. Streams are unfolded within bounds."""
    if not content.startswith(b"%PDF-"):
        return "is no PDF document"
    unfolded = 0
    for start in _STREAM.finditer(content):
        with contextlib.suppress(zlib.error):
            end = content.find(b"endstream", start.end())
            folded = content[start.end() : end if end >= 0 else len(content)]
            text = zlib.decompressobj().decompress(folded, MOST_UNFOLDED - unfolded)
            unfolded += len(text)
            if unfolded >= MOST_UNFOLDED:
                return "unfolds to more than a document's size"
            if ACTIVE.search(_unescaped(text)):
                return "holds something that acts by itself; print it to a new PDF"
    return "holds something that acts by itself; print it to a new PDF" if ACTIVE.search(_unescaped(content)) else ""


def _unescaped(text: bytes) -> bytes:
    return _ESCAPED.sub(lambda found: bytes([int(found[1], 16)]), text)
