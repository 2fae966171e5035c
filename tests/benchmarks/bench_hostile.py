"""Files that no honest program writes, at their full size, each in an inbox with honest neighbours.

Each is taken in by a process of its own: processor seconds and the peak of memory of that process together with its
reader, over 20 seconds and 1 GB; 0 where the file was refused alone and its neighbours were imported, else 1.
"""

from __future__ import annotations

import gzip
import json
import resource
import subprocess
import sys
import tempfile
import time
import zipfile
from collections.abc import Callable, Iterator
from pathlib import Path

import pyarrow as pa
import pyarrow.parquet as pq

from pipelines.intake.importing import import_files
from pipelines.intake.reading import own_process
from pipelines.shop.settings import ColumnSource, Engine, Settings, Source
from tests.pipelines.intake.raw_workbooks import book, row
from tests.pipelines.intake.small_shop import NOW

Answer = list[tuple[str, float, float]]
MOST_SECONDS, MOST_GB = 20.0, 1.0
GOOD = "Stock no,Kind\n{0},tripod\n"
RECORD = b'{"Stock no":"R","Kind":"x"}'
WIDE = 50_000


def _zeros(byte: bytes) -> Iterator[bytes]:
    return (byte * 1_000_000 for _ in range(1_000))


def _plain(path: Path, byte: bytes) -> None:
    with path.open("wb") as file:
        file.writelines(_zeros(byte))


def _zipped(path: Path) -> None:
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as packed, packed.open("f.csv", "w") as member:
        member.writelines(_zeros(b"0"))


def _gzipped(path: Path) -> None:
    with gzip.open(path, "wb", 6) as file:
        file.writelines(_zeros(b"\0"))


def _texts() -> bytes:
    return book(row(2, "A", "x"), texts=(f"<t>s{number}</t>" for number in range(5_500_000)))


FILES: dict[str, Callable[[Path], object]] = {
    "row-2000000000.xlsx": lambda path: path.write_bytes(book('<row r="2000000000"><c><v>1</v></c></row>')),
    "shared-texts.xlsx": lambda path: path.write_bytes(_texts()),
    "wide.xlsx": lambda path: path.write_bytes(book(f"<row>{'<c><v>1</v></c>' * WIDE}</row>")),
    "braces.json": lambda path: path.write_bytes(b"[" + b",".join([b"{}"] * 16_000_000) + b"]"),
    "a-record-and-braces.json": lambda path: path.write_bytes(b"[" + RECORD + b",{}" * 16_000_000 + b"]"),
    "a-record-and-braces.jsonl": lambda path: path.write_bytes(RECORD + b"\n{}" * 16_000_000),
    "wide.csv": lambda path: path.write_bytes(b",".join([b"h%d"] * WIDE) + b"\n" + b",".join([b"1"] * WIDE) * 100),
    "wide.json": lambda path: path.write_text(f"[{json.dumps(dict.fromkeys(map(str, range(WIDE))))}]"),
    "wide.parquet": lambda path: pq.write_table(pa.table({f"h{n}": [1] for n in range(WIDE)}), path),
    "deep.json": lambda path: path.write_bytes(b"[" * 48_000_000),
    "zeros.csv": lambda path: _plain(path, b"0"),
    "zero-bytes.csv": lambda path: _plain(path, b"\0"),
    "zeros.json": lambda path: _plain(path, b"0"),
    "zero-bytes.xlsx": lambda path: _plain(path, b"\0"),
    "zeros.parquet": lambda path: _plain(path, b"0"),
    "zeros.zip": _zipped,
    "zero-bytes.csv.gz": _gzipped,
}


def run(scale: float = 1.0) -> Answer:
    """Every file; the sizes are what they are."""
    found: Answer = []
    for name in FILES:
        with tempfile.TemporaryDirectory() as folder:
            for step in ("write", "take"):
                said = subprocess.run(
                    [sys.executable, "-m", __name__, step, folder, name], check=True, capture_output=True
                )
            seconds, peak_gb, wrong = json.loads(said.stdout.splitlines()[-1])
        found += [(f"{name}, processor seconds", seconds, MOST_SECONDS), (f"{name}, peak GB", peak_gb, MOST_GB)]
        found.append((f"{name}, not refused alone", wrong, 0.0))
    return found


def _settings(folder: Path) -> Settings:
    columns = {"sku": ColumnSource("Stock no"), "item_type": ColumnSource("Kind")}
    forms = {"csv": "*.csv*", "xlsx": "*.xlsx", "json": "*.json", "jsonl": "*.jsonl", "parquet": "*.parquet"}
    sources = tuple(Source(form, "skus", files, columns, format=form) for form, files in forms.items())
    return Settings(folder, engine=Engine(memory_limit="1GB"), sources=sources)


def write(folder: Path, name: str) -> None:
    """The hostile file, and one honest file on either side of it."""
    inbox = _settings(folder).path("inbox")
    FILES[name](inbox / name)
    (inbox / "0.csv").write_text(GOOD.format("A"))
    (inbox / "~.xlsx").write_bytes(book(row(2, "Z", "tube")))


def take(folder: Path, name: str) -> None:
    """Take them in and say what it took. The reader's memory is counted as if it held its most at the same moment."""
    begun = time.process_time()
    found = import_files(_settings(folder), now=NOW)
    peak_kb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    own_process.end()
    readers = resource.getrusage(resource.RUSAGE_CHILDREN)
    seconds = time.process_time() - begun + readers.ru_utime + readers.ru_stime
    landed = sorted(each.file_name for each in found if each.accepted_count)
    refused = [each.file_name for each in found if each.error is not None]
    wrong = landed != ["0.csv", "~.xlsx"] or len(refused) != 1
    print(json.dumps([seconds, (peak_kb + readers.ru_maxrss) / 1024**2, float(wrong)]))


if __name__ == "__main__":
    {"write": write, "take": take}[sys.argv[1]](Path(sys.argv[2]), sys.argv[3])
