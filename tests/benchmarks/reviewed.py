"""The first review of a large shop, step by step: seconds and peak memory of each. Two benches ask for it.

Shop and review are made in processes of their own, so that the peak of memory is the review's alone.
"""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from pipelines.review import runs
from pipelines.shop.settings import load
from tests.benchmarks.large_shop import large_shop

RATING = "rating"
AGAIN = "rating again for what-ifs"
TABLES = "core tables and marts"
DAMAGE = "damage and packing"
OTHERS = "other analyses"
LAST = "actions, checks, commit and copy"
STEPS = {
    **dict.fromkeys(("rating", "by_name"), RATING),
    **dict.fromkeys(("rechecked", "nearer"), AGAIN),
    **dict.fromkeys(("core", "marts"), TABLES),
    **dict.fromkeys(("packing methods", "damage", "packing decisions", "changes judged"), DAMAGE),
    "cartons": "cartons",
    **dict.fromkeys(("actions", "checks", "commit", "rows to show"), LAST),
    "page and workbook": "page and workbook",
}
LONG = 0.02  # share of the whole above which a part is worth its name


class Steps(dict[str, tuple[float, float]]):
    """Seconds and peak memory in GB by step."""

    def add(self, step: str, seconds: float, gigabytes: float) -> None:
        """Count another part of a step."""
        before, most = self.get(step, (0.0, 0.0))
        self[step] = (before + seconds, max(most, gigabytes))

    @property
    def seconds(self) -> float:
        """Of all steps."""
        return sum(seconds for seconds, _ in self.values())

    @property
    def gigabytes(self) -> float:
        """The peak over all steps."""
        return max(gigabytes for _, gigabytes in self.values())

    def grouped(self) -> Steps:
        """The steps as a reader knows them, from the names called out by the build."""
        groups = Steps()
        for name, (seconds, gigabytes) in self.items():
            groups.add(STEPS.get(name.split(".")[0], OTHERS), seconds, gigabytes)
        return groups

    def longest(self) -> Steps:
        """The parts that take long, the longest first."""
        ordered = sorted(self.items(), key=lambda item: -item[1][0])
        return Steps({name: each for name, each in ordered if each[0] > LONG * self.seconds})


class Watch:
    """Tells parts apart by when their names are called out; the peak of memory is set back at each."""

    def __init__(self) -> None:
        self.parts = Steps()
        self._name, self._begun = "", time.perf_counter()

    def begin(self, name: str) -> None:
        """The part before ends here; without a name, the last one does."""
        now = time.perf_counter()
        if self._name:
            self.parts.add(self._name, now - self._begun, peak_gigabytes())
        Path("/proc/self/clear_refs").write_text("5")
        self._name, self._begun = name, time.perf_counter()


def peak_gigabytes() -> float:
    """The most memory that this process held since its peak was set back."""
    lines = Path("/proc/self/status").read_text().splitlines()
    return next(int(line.split()[1]) for line in lines if line.startswith("VmHWM")) / 1024**2


def parts(parcels: int, months: int = 18) -> Steps:
    """Each part of the first review of the latest whole month; nothing was built before."""
    with tempfile.TemporaryDirectory() as folder:
        _alone("make", folder, str(parcels), str(months))
        return Steps(json.loads(_alone("review", folder).splitlines()[-1]))


def page_bytes(parcels: int, months: int = 18) -> int:
    """Size of the page of the latest whole month of a large shop."""
    with tempfile.TemporaryDirectory() as folder:
        _alone("make", folder, str(parcels), str(months))
        _alone("review", folder)
        return next((Path(folder) / "shop" / "reviews").glob("review-????-??.html")).stat().st_size


def _alone(*said: str) -> str:
    done = subprocess.run([sys.executable, "-m", __name__, *said], stdout=subprocess.PIPE, text=True, check=True)
    return done.stdout


def make(folder: Path, parcels: str, months: str) -> None:
    """The shop's folder."""
    large_shop(folder / "shop", int(parcels), int(months))


def review(folder: Path) -> None:
    """Write the review; prints its parts as the last line."""
    watch = Watch()
    watch.begin("records")
    settings = load(folder / "shop")
    month, tables = runs.review_tables(settings, None, watch.begin)
    watch.begin("page and workbook")
    runs.draw(settings, month, tables)
    watch.begin("")
    print(json.dumps(watch.parts))


ASKED: dict[str, Callable[..., None]] = {"make": make, "review": review}

if __name__ == "__main__":
    ASKED[sys.argv[1]](Path(sys.argv[2]), *sys.argv[3:])
