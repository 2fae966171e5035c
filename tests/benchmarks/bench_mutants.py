"""Small mistakes planted one by one in the packing, each of which its tests must notice.

Only when named: there are some six hundred mistakes, each tried until a test of the folder fails.
`python -m tests.benchmarks.bench_mutants models.packing.search 40` takes every 40th part of one module's.

Each mistake is tried in a process of its own, forked once the libraries are loaded, within a limit of processor time:
a test that runs for ever has noticed it too.
"""

from __future__ import annotations

import contextlib
import importlib
import importlib.abc
import importlib.util
import os
import resource
import sys
from collections.abc import Iterator, Sequence
from importlib.machinery import ModuleSpec
from pathlib import Path
from types import ModuleType

import pytest

from tests.benchmarks.mutants import Mutant, mutants
from tests.sampling import WHOLE

Result = tuple[str, float, float]

ROOT = Path(__file__).parent.parent.parent
FOLDERS = ("packing",)
# Loaded before the fork, so that each mistake does not wait for them.
LIBRARIES = ("numpy", "pandas")
SECONDS = 120
# They change no answer. By module and change; the reason stands beside each.
EQUIVALENT: dict[tuple[str, str], str] = {
    (
        "models.packing.needed",
        "1000000 -> 1000001 in `MICRO = 1_000_000`",
    ): "any fine scale serves: what was placed is divided by it again"
}


class Planted(importlib.abc.MetaPathFinder, importlib.abc.Loader):
    """Gives one module its wrong text."""

    def __init__(self, mutant: Mutant) -> None:
        self.mutant = mutant

    def find_spec(
        self, fullname: str, path: Sequence[str] | None, target: ModuleType | None = None
    ) -> ModuleSpec | None:
        return importlib.util.spec_from_loader(fullname, self) if fullname == self.mutant.module else None

    def exec_module(self, module: ModuleType) -> None:
        exec(compile(self.mutant.text, self.mutant.module, "exec"), module.__dict__)


def run() -> Iterator[Result]:
    """(what, measured, limit) for each folder; measured must not be above the limit."""
    for folder in FOLDERS:
        for path in sorted((ROOT / "models" / folder).glob("[a-z]*.py")):
            yield from of_module(f"models.{folder}.{path.stem}")


def of_module(module: str, every: int = 1) -> Iterator[Result]:
    """How many mistakes in one module went unnoticed; each of them is printed."""
    os.environ[WHOLE] = "1"
    for library in LIBRARIES:
        importlib.import_module(library)
    plain = (ROOT / f"{module.replace('.', '/')}.py").read_text(encoding="utf-8")
    if is_noticed(Mutant(module, "nothing", plain)):
        raise RuntimeError(f"the tests of {module} fail without any mistake")
    found = list(mutants(module, ROOT / f"{module.replace('.', '/')}.py"))[:: every or 1]
    left = [each for each in found if (module, each.change) not in EQUIVALENT]
    unnoticed = [each.change for each in left if not is_noticed(each)]
    for change in unnoticed:
        print(f"    {module}: {change}", flush=True)
    yield f"mistakes unnoticed in {module}, of {len(left)}", len(unnoticed), 0


def is_noticed(mutant: Mutant) -> bool:
    """Whether a test of the module's folder fails, or does not end. Raises RuntimeError where no test could be run."""
    child = os.fork()
    if not child:
        code = pytest.ExitCode.INTERNAL_ERROR.value
        try:
            code = _tested(mutant)
        finally:
            os._exit(code)
    status = os.waitpid(child, 0)[1]
    if os.WIFSIGNALED(status):
        return True
    code = os.WEXITSTATUS(status)
    # A module that cannot be imported interrupts the collection.
    if code not in (pytest.ExitCode.OK, pytest.ExitCode.TESTS_FAILED, pytest.ExitCode.INTERRUPTED):
        raise RuntimeError(f"{mutant.module}, {mutant.change}: the tests could not be run")
    return code != pytest.ExitCode.OK


def _tested(mutant: Mutant) -> int:
    resource.setrlimit(resource.RLIMIT_CPU, (SECONDS, SECONDS + 5))
    sys.meta_path.insert(0, Planted(mutant))
    folder, _, name = mutant.module.rpartition(".")
    tests = ROOT / "tests" / folder.replace(".", "/")
    nearest = [file for file in (tests / f"test_{name}.py",) if file.exists()]
    asked = ["-x", "-q", "-p", "no:cacheprovider", *(str(each) for each in (*nearest, tests))]
    with (
        Path(os.devnull).open("w") as nowhere,
        contextlib.redirect_stdout(nowhere),
        contextlib.redirect_stderr(nowhere),
    ):
        return int(pytest.main(asked))


if __name__ == "__main__":
    for what, measured, limit in of_module(sys.argv[1], int((sys.argv[2:] or ["1"])[0])):
        print(f"{what}: {measured:g} (limit {limit:g})")
