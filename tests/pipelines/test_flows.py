"""The flows under Prefect's own test server: the same steps, the same page."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

pytestmark = [pytest.mark.slow, pytest.mark.filterwarnings("ignore")]


@pytest.fixture(scope="module")
def server() -> Iterator[None]:
    from prefect.testing.utilities import prefect_test_harness

    with prefect_test_harness():
        yield


def quarter_of(demo: Path, shop: Path) -> Path:
    """A shop with the demo's first quarter only."""
    (shop / "inbox").mkdir(parents=True)
    shutil.copy(demo / "dunnage.toml", shop)
    shutil.copytree(demo / "tariffs", shop / "tariffs")
    for path in (demo / "inbox").iterdir():
        if "2025-Q2" in path.name or (path.suffix == ".csv" and not path.name.startswith("sales")):
            shutil.copy(path, shop / "inbox")
    return shop


def test_intake_and_review_as_flows(server: None, demo_folder: Path, tmp_path: Path) -> None:
    from pipelines import flows, runs
    from pipelines.settings import load

    shop = quarter_of(demo_folder, tmp_path / "shop")
    landed = flows.intake(shop)
    assert landed["files"] == len(list((shop / "inbox").iterdir()))
    assert landed["accepted"] > 3_000
    assert flows.intake(shop)["accepted"] == 0
    page = Path(flows.review(shop, "2025-06"))
    by_flow = page.read_text(encoding="utf-8")
    by_hand = runs.run_review(load(shop), "2025-06").page.read_text(encoding="utf-8")
    assert by_flow.count("<table") == by_hand.count("<table") > 0
