"""What a user is told where Spark is missing or fails, and that a difference of types is never papered over."""

from __future__ import annotations

import importlib.util
from pathlib import Path

import pytest

from models.errors import BuildError, NotFoundError, SettingsError
from pipelines.build import spark
from pipelines.build.making import make_here
from pipelines.build.spark.session import Cluster, check_installed
from pipelines.review import runs
from pipelines.shop import warehouse
from tests.pipelines.build.spark.conftest import spark_settings


def test_without_pyspark_the_way_to_get_it_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(importlib.util, "find_spec", lambda name: None)
    with pytest.raises(SettingsError, match=r"pip install 'dunnage\[spark\]'"):
        check_installed()


@pytest.mark.parametrize("home", [None, "no-java-here"])
def test_without_java_the_way_to_get_it_is_named(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, home: str | None
) -> None:
    monkeypatch.setattr(importlib.util, "find_spec", lambda name: object())
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.delenv("JAVA_HOME", raising=False)
    if home:
        monkeypatch.setenv("JAVA_HOME", str(tmp_path / home))
    with pytest.raises(SettingsError, match="default-jre-headless"):
        check_installed()


def test_the_setting_chooses_where_tables_are_made(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    asked: list[str] = []

    def make(*given: object) -> None:
        asked.append("spark")
        make_here(*given)  # type: ignore[arg-type]

    monkeypatch.setattr(spark, "make", make)
    with pytest.raises(NotFoundError):
        runs.month_tables(spark_settings(tmp_path), None)
    assert asked == ["spark"]


@pytest.mark.spark
def test_a_model_that_fails_is_named(cluster: Cluster) -> None:
    with pytest.raises(BuildError, match=r"core\.x.*TABLE_OR_VIEW_NOT_FOUND"):
        cluster.run("core.x", "select 1 as a from core__nowhere", {"a": "BIGINT"}, "built/core/x")
    with pytest.raises(BuildError, match=r"core\.x.*OVERFLOW"):
        cluster.run("core.x", "select cast(id as int) + 2147483647 as a from range(9)", {"a": "BIGINT"}, "built/core/x")


@pytest.mark.spark
def test_integers_widen_and_nothing_else_is_changed(cluster: Cluster, tmp_path: Path) -> None:
    wanted = {"narrow": "BIGINT", "unknown": "VARCHAR", "decimal": "DOUBLE", "instant": "DATE"}
    sql = (
        "select cast(1 as int) as narrow, null as unknown, 1.5 as decimal, "
        "date_trunc('month', date '2026-10-05') as instant"
    )
    cluster.run("core.y", sql, wanted, "built/core/y")
    with cluster.storage.fetched("built/core/y", tmp_path) as files, warehouse.scratch() as connection:
        listed = [str(file) for file in files]
        found = connection.execute(f"describe select * from read_parquet({listed})").fetchall()
    kinds = {row[0]: row[1] for row in found}
    assert (kinds["narrow"], kinds["unknown"]) == ("BIGINT", "VARCHAR")
    # The contract refuses these afterwards (pipelines/build/contract_checks.py).
    assert kinds["decimal"].startswith("DECIMAL")
    assert kinds["instant"].startswith("TIMESTAMP")
