"""A month's whole review at scale, from imported records to page and workbook: its time and memory."""

from __future__ import annotations

from tests.benchmarks.reviewed import parts

Result = tuple[str, float, float]

# Parcels, and the seconds and gigabytes that a review of them may take.
SIZES = ((100_000, 30.0, 6.0), (1_000_000, 60.0, 6.0))


def run() -> list[Result]:
    """(what, measured, limit) of each measurement; measured must not be above the limit."""
    return [result for parcels, seconds, gigabytes in SIZES for result in measured(parcels, seconds, gigabytes)]


def measured(parcels: int, most_seconds: float, most_gigabytes: float) -> list[Result]:
    """Seconds and memory of one size, with the parts that take long."""
    found = parts(parcels)
    for name, (seconds, gigabytes) in found.longest().items():
        print(f"    of {parcels:,} parcels {seconds:6.2f} s {gigabytes:5.2f} GB  {name}", flush=True)
    return [
        (f"seconds for a review of {parcels:,} parcels", found.seconds, most_seconds),
        ("peak memory of that, in GB", found.gigabytes, most_gigabytes),
    ]
