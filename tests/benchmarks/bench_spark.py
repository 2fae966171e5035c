"""The demo's whole build on Spark, what-ifs and analyses with it, against DuckDB's: how many tables differ.

Workings, which go when a build ends, are compared by tests/pipelines/build/spark/test_parity.py.
Needs the extra `spark` and Java; without them it says so.
"""

from __future__ import annotations

import shutil
import tempfile
from dataclasses import replace
from pathlib import Path

from models.analyses import ANALYSES
from models.tables.incremental_rules import WORKINGS
from pipelines.build.spark.session import check_installed
from pipelines.build.sql_models import models
from pipelines.cli import main
from pipelines.review import runs
from pipelines.shop import warehouse
from pipelines.shop.settings import Settings, load
from tests.pipelines.build.spark.comparing import differing
from tests.pipelines.build.spark.conftest import spark_settings

Result = tuple[str, float, float]


def run() -> list[Result]:
    """Tables built and tables that differ. Raises SettingsError where PySpark or Java is missing."""
    check_installed()
    with tempfile.TemporaryDirectory() as folder:
        here, there = _both(Path(folder))
        built = sorted(set(models()) - WORKINGS) + [name for analysis in ANALYSES for name in analysis.writes]
        with warehouse.reading(here) as one, warehouse.reading(there) as other:
            different = {name: found for name in built if (found := differing(one, other, name))}
    for name, found in different.items():
        print(f"  {name} differs: {found}")
    return [(f"tables that differ between DuckDB and Spark, of {len(built)}", len(different), 0)]


def _both(folder: Path) -> tuple[Settings, Settings]:
    """The demo shop and its copy, built again by DuckDB and by Spark: verdicts kept by then stand in both."""
    main(["demo", str(folder / "here")])
    shutil.copytree(folder / "here", folder / "there")
    here = load(folder / "here")
    spark = spark_settings(folder / "there")
    there = replace(load(folder / "there"), engine=spark.engine, spark=spark.spark)
    for settings in (here, there):
        with warehouse.writing(settings, "benchmark") as connection:
            connection.execute("delete from intake.builds")
        runs.month_tables(settings, None)
    return here, there


if __name__ == "__main__":
    for what, measured, limit in run():
        print(f"{what}: {measured:g} (limit {limit:g})")
