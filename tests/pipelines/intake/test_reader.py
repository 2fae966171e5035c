"""The reader in its own process: held to a file's limits, replaced when it breaks, gone when its parent is gone."""

from __future__ import annotations

import json
import os
import select
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from models.settings.reading_limits import Limits
from pipelines.intake.reading import own_process as own
from tests.pipelines.intake.raw_workbooks import book, row
from tests.pipelines.intake.small_shop import SKUS, SmallShop, renamed
from tests.pipelines.intake.test_names import parquet_of

RECORD = '{"Stock no": "A", "Kind": "x"}'
OTHER = renamed(SKUS, name="other", files="good*", format="jsonl")
pytestmark = pytest.mark.skipif(not hasattr(os, "pidfd_open"), reason="asks the system for the end of a process")

FILES = {
    "columns of JSON": (
        "json",
        ("[{" + ",".join(f'"h{n}":1' for n in range(20_000)) + "}]").encode(),
        {},
        "20,000 columns",
    ),
    "columns of Parquet": (
        "parquet",
        parquet_of({f"h{n}": [1] for n in range(300)}),
        {"max_columns": 200},
        "300 columns",
    ),
    "columns of CSV": ("csv", b",".join([b"h"] * 6_000) + b"\n", {}, "6,000 columns"),
    "a long header": ("jsonl", json.dumps({"h" * 6_000: 1}).encode(), {}, "a header of 6,000 characters"),
    "objects without end": ("json", b"[" + b",".join([b"{}"] * 50_000) + b"]", {}, "nothing but empty objects"),
    "blank records": ("jsonl", RECORD.encode() + b"\n{}" * 5_000, {"max_blank_rows": 2_000}, "2,000 blank rows"),
    "a line of zeros": ("csv", b"0" * 3_000_000, {"longest_line_mb": 1}, "a line of more than 1 MB"),
    "zero bytes": ("jsonl", b"\0" * 3_000_000, {"longest_line_mb": 1}, "a line of more than 1 MB"),
    "one huge value": (
        "json",
        b'[{"Stock no": "' + b"x" * 4_000_000 + b'"}]',
        {"longest_line_mb": 1},
        "a value of more than 1,000,000",
    ),
    "more texts than cells": (
        "xlsx",
        book(row(2, "A", "x"), texts=(f"<t>{n}</t>" for n in range(100_001))),
        {},
        "100,000 shared texts",
    ),
}


@pytest.mark.parametrize("name", FILES)
def test_a_shape_that_no_honest_file_has_is_refused_alone(tmp_path: Path, name: str) -> None:
    form, content, stated, words = FILES[name]
    shop = SmallShop(tmp_path, [renamed(SKUS, files="skus*", format=form), OTHER], limits=Limits(**stated))
    shop.put("good.jsonl", RECORD)
    assert words in shop.refused("skus", content)
    assert [each.accepted_count for each in shop.import_files("good.jsonl")] == [1]


def test_a_reader_that_takes_too_much_memory_is_replaced(tmp_path: Path) -> None:
    # An honest shape: memory alone can tell. Texts are held as long as the workbook is read.
    texts = [f"<t>{n} {'long text ' * 60}</t>" for n in range(300_000)]
    cells = "".join(f'<row><c t="s"><v>{n}</v></c><c t="s"><v>{n}</v></c></row>' for n in range(0, 300_000, 3))
    small = Limits(memory_mb=100, memory_mb_per_mb=0)
    shop = SmallShop(tmp_path, [renamed(SKUS, files="skus*", format="xlsx"), OTHER], limits=small)
    assert "100 MB of memory" in shop.refused("skus", book(cells, texts=texts))
    shop.limits = Limits()
    shop.put("good.jsonl", RECORD)
    assert [each.accepted_count for each in shop.import_files("good.jsonl")] == [1]


@pytest.mark.slow
def test_a_reader_that_takes_too_long_is_replaced(tmp_path: Path) -> None:
    rows = "".join(row(n, f"A{n}", "x") for n in range(2, 400_000))
    short = Limits(seconds=1, seconds_per_mb=0)
    shop = SmallShop(tmp_path, [renamed(SKUS, files="skus*", format="xlsx"), OTHER], limits=short)
    assert "takes more than 1 seconds" in shop.refused("skus", book(rows))
    shop.limits = Limits()
    shop.put("good.jsonl", RECORD)
    assert [each.accepted_count for each in shop.import_files("good.jsonl")] == [1]


def test_one_reader_serves_many_files_and_calls(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path, [renamed(SKUS, format="jsonl")])
    shop.take_one("skus-1", RECORD)
    first = own._readers[0].running.pid
    shop.take_one("skus-2", RECORD.replace("A", "B"))
    assert own._readers[0].running.pid == first
    own._readers[0].running.kill()
    own._readers[0].running.wait()
    shop.take_one("skus-3", RECORD.replace("A", "C"))
    assert len(shop.accepted()) == 3


PARENT = """
import os, sys, threading
from pathlib import Path
from pipelines.intake.reading import own_process as own
from tests.pipelines.intake.small_shop import SKUS, SmallShop, renamed
shop = SmallShop(Path(sys.argv[1]), [renamed(SKUS, files="*.xlsx", format="xlsx")])
own.warm_up()
print(own._readers[0].running.pid, flush=True)
if sys.argv[2] == "at work":
    shop.import_files()
sys.stdin.read()
"""


@pytest.mark.parametrize("moment", ["idle", "at work"])
def test_a_reader_ends_with_its_parent_however_that_ends(tmp_path: Path, moment: str) -> None:
    shop = SmallShop(tmp_path)
    shop.put("skus.xlsx", book("".join(row(n, f"A{n}", "x") for n in range(2, 200_000))))
    parent = subprocess.Popen(
        [sys.executable, "-c", PARENT, str(tmp_path), moment], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    )
    assert parent.stdout is not None and parent.stdin is not None
    reader = os.pidfd_open(int(parent.stdout.readline()))
    try:
        if moment == "at work":
            while not list(tmp_path.glob(".intake/*/rows.parquet")):
                assert parent.poll() is None
        parent.send_signal(signal.SIGKILL)
        parent.wait()
        assert select.select([reader], [], [], 60)[0], "the reader outlives its parent"
        # It did not come to its end first: its file lacks the mark that Parquet ends with, and also begins with.
        assert not any(path.read_bytes()[4:].endswith(b"PAR1") for path in tmp_path.glob(".intake/*/rows.parquet"))
    finally:
        os.close(reader)
        parent.stdin.close()
        parent.stdout.close()


def test_a_fork_has_a_reader_of_its_own(tmp_path: Path) -> None:
    code = (
        "import os, sys\nfrom pathlib import Path\n"
        "from pipelines.intake.reading import own_process as own\nown.warm_up()\n"
        "first = own._readers[0].running.pid\nchild = os.fork()\n"
        "if child == 0:\n    own.warm_up()\n    own.end() if own._readers[0].running.pid != first else None\n"
        "    os._exit(0 if not own._readers else 1)\n"
        "assert os.waitpid(child, 0)[1] == 0\nassert own._readers[0].running.poll() is None\n"
    )
    subprocess.run([sys.executable, "-c", code], check=True, cwd=Path.cwd())
