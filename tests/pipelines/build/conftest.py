"""A third of the demo shop: what holds for any records is shown by fewer, in a third of the time."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from pipelines.build import up_to_date
from pipelines.shop import warehouse
from pipelines.shop.settings import load
from tests.made_once import made_once

SHARE = 3
# The kinds that name a parcel; fees of a whole account name none and stay.
OF_PARCELS = ("charges", "claims", "returns", "labels")


@pytest.fixture(scope="session")
def third_folder(demo_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo's folder with every third sale, the parcels it went out in and what was charged and claimed for these,
    built. Tests read it; one that writes takes a copy.
    """
    return made_once(tmp_path_factory, "third-of-demo", lambda folder: _make_third(demo_folder, folder))


@pytest.fixture(scope="session")
def third(third_folder: Path) -> Iterator[warehouse.Connection]:
    """A reading connection to its warehouse."""
    with warehouse.reading(load(third_folder)) as connection:
        yield connection


def _make_third(demo_folder: Path, folder: Path) -> None:
    shutil.copytree(demo_folder, folder, ignore=shutil.ignore_patterns("reviews", "*.lock"))
    settings = load(folder)
    with warehouse.writing(settings, "test") as connection:
        connection.execute(f"delete from accepted.sales where hash(sale_id) % {SHARE} > 0")
        connection.execute("delete from accepted.weights where sale_id not in (select sale_id from accepted.sales)")
        for kind in OF_PARCELS:
            connection.execute(
                f"delete from accepted.{kind} where parcel_id not in (select parcel_id from accepted.weights)"
            )
        connection.execute("delete from intake.builds")
        up_to_date.build_changed(connection, settings)
