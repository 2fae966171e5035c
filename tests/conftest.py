"""The demo shop, imported and reviewed once for every test that reads it."""

from __future__ import annotations

import gc
import pickle
from collections import Counter
from collections.abc import Generator, Iterator
from contextlib import contextmanager
from pathlib import Path
from types import ModuleType
from typing import Any

import hypothesis
import pytest

from pipelines import cli
from pipelines.intake import importing
from pipelines.shop import warehouse
from pipelines.shop.settings import load
from tests.made_once import made_once
from tests.pipelines import reviewed_metric_shop
from tests.sampling import tries

# Seconds of a slow test that states none.
SLOW = 5
WITH_SPARK = "tests/pipelines/build/spark/"
# As the program itself runs, and before a library starts its threads.
cli.save_processor()
# As the library sets itself where it knows that it is in CI: the same trials everywhere, and no clock fails one. Its
# hundred examples are a campaign like others.
ALIKE = hypothesis.settings.get_profile("ci")
hypothesis.settings.register_profile("suite", parent=ALIKE, max_examples=tries(100))
hypothesis.settings.load_profile("suite")


@pytest.hookimpl(wrapper=True, tryfirst=True)
def pytest_collection() -> Generator[None, object, object]:
    """Ten thousand tests with all that they import stay to the end: looking through them for waste, again and again,
    takes a tenth of the processor that collecting takes, and more later.
    """
    gc.disable()
    try:
        return (yield)
    finally:
        gc.freeze()
        gc.enable()


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: Any) -> Any:
    """Whole files to one process, those that need Spark to the same: its Java machine takes ten seconds to be warm."""
    if config.getvalue("dist") != "loadfile":
        return None
    from xdist.scheduler import LoadFileScheduling

    schedule = LoadFileScheduling(config, log)
    schedule._split_scope = lambda test: WITH_SPARK if test.startswith(WITH_SPARK) else test.partition("::")[0]
    return schedule


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """First what waits for another engine, and makes the demo; meanwhile files without the demo, those whose slow tests
    take longest before others, so that at the end no process waits long for the other.
    """
    seconds = Counter[Path]()
    for item in items:
        seconds[item.path] += sum(next(iter(mark.args), SLOW) for mark in item.iter_markers("slow"))
    waiting = {item.path for item in items if item.get_closest_marker("spark")}
    with_demo = {item.path for item in items if "demo_folder" in getattr(item, "fixturenames", ())}
    items.sort(key=lambda item: (item.path not in waiting, item.path in with_demo, -seconds[item.path]))


@pytest.fixture(scope="session")
def demo_made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """What `dunnage demo` made, in demo-shop/, and what it said of the files that it imported, in deliveries.pickle.

    One of the processes makes it, each has a copy: none waits for a warehouse that another has open.
    """
    return made_once(tmp_path_factory, "demo", _make_demo)


@pytest.fixture(scope="session")
def demo_folder(demo_made: Path) -> Path:
    """The demo shop's folder after `dunnage demo`. Tests read it; one that writes takes a copy."""
    return demo_made / "demo-shop"


def _make_demo(folder: Path) -> None:
    folder.mkdir()
    with _noted(importing, "import_files") as deliveries:
        assert cli.main(["demo", str(folder / "demo-shop")]) == 0
    (folder / "deliveries.pickle").write_bytes(pickle.dumps(deliveries))


@contextmanager
def _noted(module: ModuleType, name: str) -> Iterator[list[Any]]:
    """All that the module's function answers within it."""
    answers, called = list[Any](), getattr(module, name)

    def noted(*given: Any, **named: Any) -> Any:
        answers.extend(found := called(*given, **named))
        return found

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(module, name, noted)
        yield answers


@pytest.fixture(scope="session")
def metric_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A shop in centimetres with chosen sizes and a review. Tests read it; one that writes takes a copy."""
    return made_once(tmp_path_factory, "metric-shop", _make_metric)


def _make_metric(folder: Path) -> None:
    reviewed_metric_shop.reviewed(folder, "metric")


@pytest.fixture(scope="session")
def demo(demo_folder: Path) -> Iterator[warehouse.Connection]:
    """A reading connection to the demo shop's warehouse."""
    with warehouse.reading(load(demo_folder)) as connection:
        yield connection
