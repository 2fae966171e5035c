"""Spark on this machine for tests: two threads, and no compiled stages, which cost more than they gain on few rows."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

import pytest

from models.errors import SettingsError
from models.settings.engine import Spark
from pipelines.build.spark.session import Cluster, check_installed, started
from pipelines.shop.settings import Engine, Settings

OPTIONS = {
    "spark.sql.shuffle.partitions": "2",
    "spark.default.parallelism": "2",
    "spark.sql.adaptive.enabled": "false",
    "spark.sql.codegen.wholeStage": "false",
    "spark.sql.codegen.factoryMode": "NO_CODEGEN",
    "spark.driver.memory": "2g",
    # A heap that is large at once: one that grows is searched through some ten times.
    "spark.driver.extraJavaOptions": "-XX:TieredStopAtLevel=1 -XX:ReservedCodeCacheSize=256m -XX:+UseSerialGC "
    "-Xms2g -Xmn600m -XX:MetaspaceSize=256m",
}


def spark_settings(folder: Path, storage: str = "storage", **options: str) -> Settings:
    """A shop in that folder that builds on two threads of this machine."""
    spark = Spark(master="local[2]", storage=storage, options={**OPTIONS, **options})
    return Settings(folder=folder, engine=Engine(kind="spark"), spark=spark)


@pytest.fixture(scope="session")
def spark_here() -> None:
    """Skips where PySpark or Java is missing and says how to get it; in CI both must be there."""
    try:
        check_installed()
    except SettingsError as missing:
        if os.environ.get("CI") == "true":
            pytest.fail(str(missing))
        pytest.skip(str(missing))


@pytest.fixture(scope="module")
def cluster(spark_here: None, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Cluster]:
    """A session whose storage is a folder with a name full of marks that Spark takes as a pattern."""
    with started(spark_settings(tmp_path_factory.mktemp("spark") / "a shop [old] {1,2}")) as session:
        yield session
