"""Landing a large file against the engine merely reading it as text, and a day's file into a long history.

Both run in a process of their own, so that the peak of its memory is known. One row in a thousand is bad, some by a
cell that cannot be read, some by a value out of bounds, some by a missing one.
"""

from __future__ import annotations

import json
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import duckdb

from pipelines.intake.importing import import_files
from pipelines.shop.settings import ColumnSource, Engine, Settings, Source

Answer = list[tuple[str, float, float]]
MEMORY_LIMIT = "2500MB"
TURNS = 3
# What the processors did is the same on a busy machine; the clock also sees where a step leaves one of them idle.
UNITS = {"seconds": "by the clock", "processor_seconds": "by processor time"}
COLUMNS = {
    "sale_id": "Order",
    "line_number": "Line",
    "sold_at": "Paid",
    "channel": "Site",
    "item_type": "Kind",
    "sku": "Stock no",
    "quantity": "Qty",
    "item_price_cents": "Price",
    "shipping_charged_cents": "Postage",
    "marketplace_fee_cents": "Fee",
    "is_fee_on_shipping": "Fee on postage",
    "destination_prefix": "Zip",
}
SALES = Source("history", "sales", "*.csv", {name: ColumnSource(header) for name, header in COLUMNS.items()})


def run(scale: float = 1.0) -> Answer:
    """`scale` 1 is 1e7 rows."""
    rows = max(10_000, int(10_000_000 * scale))
    # A day's share is asked of the long history only: in a short one it is mostly what any command costs.
    return [*_measured(max(10_000, rows // 10))[:3], *_measured(rows)]


def _measured(rows: int) -> Answer:
    """Times reading them (by the clock, by processor time), the peak of memory, the share of a day."""
    with tempfile.TemporaryDirectory() as folder:
        subprocess.run([sys.executable, "-m", __name__, "write", folder, str(rows)], check=True)
        # In turns, and the best of each: other work on the machine only ever adds time.
        turns = [(_in_its_own("read", folder), _in_its_own("land", folder)) for _ in range(TURNS)]
        read, landed = ({unit: min(one[unit] for one in steps) for unit in UNITS} for steps in zip(*turns, strict=True))
        day = _in_its_own("day", folder)
    peak = max(day["peak_gb"], *(one["peak_gb"] for _, one in turns))
    return [
        *(
            (f"importing {rows:,} rows, times reading them, {UNITS[unit]}", landed[unit] / read[unit], 1.8)
            for unit in UNITS
        ),
        (f"importing {rows:,} rows, peak GB", peak, 4.0),
        (f"10,000 rows into {rows:,}, share of landing them", day["seconds"] / landed["seconds"], 0.05),
    ]


def _in_its_own(step: str, folder: str) -> dict[str, float]:
    done = subprocess.run([sys.executable, "-m", __name__, step, folder], check=True, capture_output=True, text=True)
    found: dict[str, float] = json.loads(done.stdout.splitlines()[-1])
    return found


def write(folder: Path, rows: int) -> None:
    """The history, and a day of 10,000 rows of which half correct the history."""
    _write_sales(folder / "history.csv", 0, rows)
    _write_sales(folder / "day.csv", rows - 5_000, rows + 5_000)


def _write_sales(path: Path, first: int, last: int) -> None:
    cents = last // 1_000 % 100
    duckdb.execute(
        f"""
        copy (
            select
                'S-' || i as "Order", 1 + i % 3 as "Line",
                strftime(timestamp '2020-01-01' + to_seconds(cast(i * 37 % 200000000 as bigint)), '%Y-%m-%d %H:%M:%S')
                    as "Paid",
                ['marketplace', 'own site'][1 + i % 2] as "Site",
                case when bad = 0 then null else ['tripod', 'tube', 'mount'][1 + i % 3] end as "Kind",
                case when bad = 0 then null else 'SKU-' || (i * 7919 % 5000) end as "Stock no",
                case when bad = 1 then 'three' else cast(1 + i % 4 as varchar) end as "Qty",
                printf('%d.%02d', 10 + i * 31 % 9000, i % 100) as "Price",
                case when bad = 2 then '-1' else printf('%d.%02d', 5 + i * 17 % 900, {cents}) end as "Postage",
                printf('%d.%02d', i * 13 % 500, i % 100) as "Fee",
                ['yes', 'no'][1 + i % 2] as "Fee on postage", printf('%03d', i % 1000) as "Zip",
                'Buyer ' || i as "Buyer", i % 13 as "Shelf", 'note ' || (i % 9999) as "Remark"
            from (select i, case when i % 1000 = 7 then i // 1000 % 3 end as bad from range({first}, {last}) as t(i))
        ) to '{path}' (header)
        """
    )


def read(folder: Path) -> None:
    """What the engine does alone: the file as text into a table."""
    target = folder / "plain.duckdb"
    target.unlink(missing_ok=True)
    with duckdb.connect(target, config={"memory_limit": MEMORY_LIMIT}) as connection:
        connection.execute(
            f"create table history as select * from read_csv('{folder / 'history.csv'}', all_varchar=true)"
        )


def land(folder: Path) -> None:
    """The same file through intake, into an empty warehouse."""
    for old in (*folder.glob("warehouse*"), *folder.glob("archive/*")):
        old.unlink()
    (delivery,) = import_files(_settings(folder), [folder / "history.csv"], now=datetime(2026, 11, 20))
    assert delivery.error is None and delivery.rejected_count == delivery.row_count // 1000, delivery


def day(folder: Path) -> None:
    """One day's rows into that history."""
    (delivery,) = import_files(_settings(folder), [folder / "day.csv"], now=datetime(2026, 11, 21))
    assert delivery.error is None and delivery.corrected_count > 4_900, delivery


def _settings(folder: Path) -> Settings:
    return Settings(folder, engine=Engine(memory_limit=MEMORY_LIMIT), sources=(SALES,))


STEPS: dict[str, Callable[[Path], None]] = {"read": read, "land": land, "day": day}


def main(step: str, folder: Path, *more: str) -> None:
    """One step, with its seconds and the peak of its memory on the last line."""
    if step == "write":
        write(folder, int(more[0]))
        return
    begun, before = time.perf_counter(), time.process_time()
    STEPS[step](folder)
    seconds = time.perf_counter() - begun
    processor_seconds = time.process_time() - before
    peak_gb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024**2
    print(json.dumps({"seconds": seconds, "processor_seconds": processor_seconds, "peak_gb": peak_gb}))


if __name__ == "__main__":
    main(sys.argv[1], Path(sys.argv[2]), *sys.argv[3:])
