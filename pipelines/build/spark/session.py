"""A session of Spark: tables shown to it, models run in it. The only user of PySpark."""

import os
import shutil
import warnings
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from models.errors import BuildError, SettingsError
from pipelines.build.spark.dialect import view
from pipelines.build.spark.storage import Storage
from pipelines.shop.settings import Settings

# What the engine calls a type, and what Spark calls it.
TYPES = {
    "VARCHAR": "string",
    "BIGINT": "bigint",
    "INTEGER": "int",
    "DOUBLE": "double",
    "BOOLEAN": "boolean",
    "DATE": "date",
    "TIMESTAMP": "timestamp_ntz",
}
# Spark numbers rows by narrower integers than DuckDB, and a column of nothing but nulls has no type with it. Any other
# difference of types is a difference of meaning, which the contract refuses.
WIDENED = {("int", "bigint"), *(("void", kind) for kind in TYPES.values())}
QUIET = {"spark.ui.enabled": "false", "spark.ui.showConsoleProgress": "false", "spark.log.level": "ERROR"}
# Spark keeps the plans of a thousand answers for a page that is not shown; a hundred models would fill the driver.
FORGETFUL = {"spark.sql.ui.retainedExecutions": "1", "spark.ui.retainedJobs": "10", "spark.ui.retainedStages": "10"}
# One process talks to itself: no name of the machine needs to be known to any network.
LOCAL = {"spark.driver.host": "127.0.0.1", "spark.driver.bindAddress": "127.0.0.1"}
# Figures depend on these; no setting changes them.
MEANT = {
    "spark.sql.ansi.enabled": "true",
    "spark.sql.timestampType": "TIMESTAMP_NTZ",
    "spark.sql.session.timeZone": "UTC",
}


class Cluster:
    """A running session and its storage."""

    def __init__(self, session: Any, root: str) -> None:
        self._session = session
        context = session.sparkContext
        self.storage = Storage(root, context._jvm.org.apache.hadoop.fs.Path, context._jsc.hadoopConfiguration())

    def show(self, table: str, columns: Mapping[str, str], places: Sequence[str]) -> None:
        """Show the files at these places as a table. `columns`: names and types as the engine calls them."""
        schema = ", ".join(f"{name} {_spark_type(table, kind)}" for name, kind in columns.items())
        if places:
            files = [self.storage.pattern(place) for place in places]
            rows = self._session.read.schema(schema).parquet(*files)
        else:
            rows = self._session.createDataFrame([], schema)
        rows.createOrReplaceTempView(view(table))

    def run(self, table: str, sql: str, wanted: Mapping[str, str], place: str) -> None:
        """Write the answer to a place as Parquet and show it as a table. Raises BuildError that names the table."""
        from py4j.protocol import Py4JError
        from pyspark.errors import PySparkException

        try:
            rows = _widened(self._session.sql(sql), wanted)
            rows.write.mode("overwrite").parquet(self.storage.url(place))
            written = self._session.read.schema(rows.schema).parquet(self.storage.pattern(place))
            written.createOrReplaceTempView(view(table))
        except (PySparkException, Py4JError) as broken:
            raise BuildError(
                table,
                f"Spark cannot build it: {_first_line(broken)}",
                "the whole build; the last one stays",
                'see whether the cluster and its storage can be reached, or write kind = "duckdb" in [engine]',
            ) from None


def _spark_type(table: str, kind: str) -> str:
    if kind not in TYPES:
        raise BuildError(table, f"has a column of type {kind}", "the build on Spark", "use a type of models/fields.py")
    return TYPES[kind]


def _widened(rows: Any, wanted: Mapping[str, str]) -> Any:
    """The answer with its integers as wide as the engine's, its columns in the contract's order."""
    kinds = {name: TYPES[kind] for name, kind in wanted.items()}
    return rows.selectExpr(
        *(
            f"cast({name} as {kinds[name]}) as {name}" if (kind, kinds.get(name)) in WIDENED else name
            for name, kind in rows.dtypes
        )
    )


def _first_line(broken: Exception) -> str:
    return next((line for line in str(broken).splitlines() if line.strip()), type(broken).__name__)


@contextmanager
def started(settings: Settings) -> Iterator[Cluster]:
    """A session as [spark] says, stopped at the end. Raises SettingsError where PySpark or Java is missing."""
    session = _session(settings)
    try:
        yield Cluster(session, _root(settings))
    finally:
        session.stop()


def _session(settings: Settings) -> Any:
    check_installed()
    from py4j.protocol import Py4JError
    from pyspark.errors import PySparkException
    from pyspark.sql import SparkSession

    builder = SparkSession.builder.appName(f"dunnage {settings.shop.name}")
    if settings.spark.master:
        builder = builder.master(settings.spark.master)
    local = LOCAL if settings.spark.master.startswith("local") else {}
    for name, value in {**QUIET, **FORGETFUL, **local, **settings.spark.options, **MEANT}.items():
        builder = builder.config(name, value)
    try:
        with warnings.catch_warnings():
            # It warns of pandas 3, which nothing here hands to it.
            warnings.filterwarnings("ignore", message="PySpark does not yet fully support pandas")
            return builder.getOrCreate()
    except (PySparkException, Py4JError) as broken:
        raise _unusable(f"Spark does not start: {_first_line(broken)}", "correct [spark] in dunnage.toml") from None


def check_installed() -> None:
    """Raise SettingsError that says how to get PySpark or Java, whichever is missing."""
    from importlib.util import find_spec

    if find_spec("pyspark") is None:
        raise _unusable("PySpark is not installed", "run `pip install 'dunnage[spark]'`")
    home = os.environ.get("JAVA_HOME")
    if not (Path(home, "bin", "java").exists() if home else shutil.which("java")):
        raise _unusable(
            "no Java is found", "install Java 17 or newer (Debian package default-jre-headless), or set JAVA_HOME"
        )


def _unusable(what: str, next_step: str) -> SettingsError:
    return SettingsError('[engine] kind = "spark"', what, "every build of this shop", next_step)


def _root(settings: Settings) -> str:
    storage = settings.spark.storage
    if "://" in storage or storage.startswith("file:"):
        return storage
    folder = settings.folder / storage
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    return f"file:{folder}"
