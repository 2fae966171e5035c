"""Small mistakes planted in what a thinned campaign judges: those that only the whole of it notices.

The suite tries an eighth of each random campaign (tests/sampling.py). What the eighth cannot see and the whole can is
the price of that; each such mistake becomes an example of the suite. Only when named: it takes hours.
`python -m tests.benchmarks.bench_thinned intake 3` plants 3 each for the files with these letters in their path.

Everything happens in a copy of the project, whose files are changed and put back.
"""

from __future__ import annotations

import ast
import functools
import os
import resource
import shutil
import subprocess
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator
from itertools import chain
from pathlib import Path

from tests.benchmarks.bench_campaigns import thinned
from tests.benchmarks.mutants import Mutant, mutants, sql_mutants
from tests.sampling import WHOLE

Result = tuple[str, float, float]

ROOT = Path(__file__).parent.parent.parent
COPIED = ("models", "pipelines", "dashboards", "sample_data", "tests", "pyproject.toml", "README.md")
PLANTED = 6
SECONDS = 900
# What many tests import is the way to something else; what few import is what they are about.
FEW = 6
# By the test file: what it judges, where that is not what it imports.
JUDGED = {
    "tests/pipelines/build/test_rating_referee.py": ("models/sql/rating/*.sql",),
    "tests/pipelines/build/test_services.py": ("models/sql/services/*.sql",),
    "tests/pipelines/build/test_shipments_referee.py": ("models/sql/core/shipment*.sql",),
    "tests/pipelines/build/test_incremental.py": ("models/sql/touched/*.sql", "models/tables/incremental_rules.py"),
    "tests/plan_shops/test_stated_shops.py": ("models/sql/cartons/*.sql", "models/actions/*.py"),
    "tests/plan_shops/test_plan_shops.py": ("models/actions/*.py",),
    "tests/plan_shops/test_priced_whole.py": ("models/actions/*.py", "models/sql/cartons/joint_savings.sql"),
    "tests/pipelines/build/spark/test_parity.py": ("models/sql/core/*.sql", "models/sql/marts/*.sql"),
    "tests/pipelines/test_faults.py": (
        "pipelines/shop/durable.py",
        "pipelines/shop/swapping.py",
        "pipelines/intake/archive.py",
    ),
    "tests/pipelines/test_empty_shop.py": ("pipelines/commands/*.py",),
    "tests/pipelines/test_first_hour.py": ("pipelines/intake/mapping/*.py",),
    "tests/pipelines/test_metric_shop.py": ("pipelines/intake/mapping/*.py",),
    "tests/pipelines/test_questions.py": ("pipelines/intake/mapping/*.py",),
    "tests/pipelines/intake/test_any_bytes.py": ("pipelines/intake/reading/*.py",),
    "tests/pipelines/shop/test_any_settings.py": ("models/settings/*.py",),
    "tests/models/test_cells.py": ("models/cells/*.py",),
    "tests/models/test_money_cells.py": ("models/cells/*.py",),
    "tests/models/column_map/test_proposal.py": ("models/column_map/*.py",),
    "tests/models/assortment/test_candidates.py": ("models/assortment/*.py",),
}


def run(letters: str = "", planted: int = PLANTED) -> Iterator[Result]:
    """(what, measured, limit) for each file with a campaign; each mistake that only the whole noticed is printed."""
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder)
        for name in COPIED:
            _copied(ROOT / name, copy / name)
        for test in thinned(letters):
            yield _of_file(test, copy, planted)


def _copied(origin: Path, target: Path) -> None:
    if origin.is_dir():
        shutil.copytree(origin, target, ignore=shutil.ignore_patterns("__pycache__"))
    else:
        shutil.copy2(origin, target)


def _of_file(test: str, copy: Path, planted: int) -> Result:
    if not _passes(test, copy):
        raise RuntimeError(f"{test} fails without any mistake")
    found = list(chain.from_iterable(_mutants(path) for path in judged(test)))
    tried = found[:: max(len(found) // planted, 1)][:planted] if planted else found
    missed = [each for each in tried if _is_missed(each, test, copy)]
    for each in missed:
        print(f"    {each.module}: {each.change}", flush=True)
    return f"mistakes that only the whole of {test} noticed, of {len(tried)}", len(missed), 0


def _mutants(path: Path) -> Iterator[Mutant]:
    return (sql_mutants if path.suffix == ".sql" else mutants)(path.relative_to(ROOT).as_posix(), path)


def judged(test: str) -> list[Path]:
    """The modules and SQL texts that a test file is about: as stated, else its namesake, else what few tests import."""
    if test in JUDGED:
        return [path for pattern in JUDGED[test] for path in sorted(ROOT.glob(pattern))]
    namesake = ROOT / test.removeprefix("tests/").replace("/test_", "/")
    if namesake.exists():
        return [namesake]
    counts = _importers()
    return [path for path in _imported(ROOT / test) if counts[path] <= FEW]


@functools.cache
def _importers() -> Counter[Path]:
    return Counter(chain.from_iterable(map(_imported, (ROOT / "tests").rglob("test_*.py"))))


def _imported(test: Path) -> list[Path]:
    """The product's modules that a test imports, each once."""
    names = [
        name
        for node in ast.walk(ast.parse(test.read_text(encoding="utf-8")))
        if isinstance(node, ast.ImportFrom) and node.module
        for name in (node.module, *(f"{node.module}.{each.name}" for each in node.names))
        if name.partition(".")[0] in {"models", "pipelines", "dashboards", "sample_data"}
    ]
    paths = (ROOT / f"{name.replace('.', '/')}.py" for name in names)
    return list(dict.fromkeys(path for path in paths if path.exists()))


def _is_missed(mutant: Mutant, test: str, copy: Path) -> bool:
    place = copy / mutant.module
    right, stated = place.read_text(encoding="utf-8"), place.stat()
    place.write_text(mutant.text, encoding="utf-8")
    # A text of the same length within the same second would be taken for the one that was compiled.
    os.utime(place, (stated.st_atime, stated.st_mtime + 1 + hash(mutant.change) % 100_000))
    try:
        return _passes(test, copy) and not _passes(test, copy, {WHOLE: "1"})
    finally:
        place.write_text(right, encoding="utf-8")
        os.utime(place, (stated.st_atime, stated.st_mtime))


def _passes(test: str, copy: Path, added: dict[str, str] | None = None) -> bool:
    """Whether the file's tests end well within a limit of processor time."""
    command = [sys.executable, "-m", "pytest", "-x", "-q", "--no-header", "-p", "no:cacheprovider", test]
    environment = {name: value for name, value in os.environ.items() if name != WHOLE} | (added or {})
    done = subprocess.run(command, cwd=copy, env=environment, capture_output=True, preexec_fn=_limited, check=False)
    return done.returncode == 0


def _limited() -> None:
    resource.setrlimit(resource.RLIMIT_CPU, (SECONDS, SECONDS + 5))


if __name__ == "__main__":
    for figure in run("".join(sys.argv[1:2]), int("".join(sys.argv[2:3]) or PLANTED)):
        print(*figure, flush=True)
