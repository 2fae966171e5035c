"""Builds the SQL models on Spark where one machine is outgrown: records go out as Parquet, tables come back.

The texts are the very ones that DuckDB runs, carried over by sqlglot. What comes back stands in the warehouse as if it
had been built there, so that analyses, reviews and letters know no difference.
"""

import tempfile
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from models.tables import TABLES
from pipelines.build.loading import load_built
from pipelines.build.spark.dialect import columns_read, translated
from pipelines.build.spark.records import columns_of, keep, quoted
from pipelines.build.spark.session import Cluster, started
from pipelines.build.sql_models import Model
from pipelines.shop import warehouse
from pipelines.shop.settings import Settings

BUILT = "built"


def make(
    connection: warehouse.Connection, settings: Settings, models: Sequence[Model], progress: Callable[[str], None]
) -> None:
    """Build the models, given in their order, on Spark and bring each table back into the warehouse, held to its
    contract.

    Raises SettingsError where Spark or Java is missing, BuildError for a model that Spark cannot build, ContractError.
    """
    with started(settings) as cluster, _staging(settings) as folder:
        _send_records(connection, cluster, models, folder)
        for model in models:
            progress(model.name)
            wanted = {name: column.sql_type for name, column in TABLES[model.name].columns.items()}
            place = f"{BUILT}/{model.name.replace('.', '/')}"
            cluster.run(model.name, translated(model.sql), wanted, place)
            _bring_back(connection, model.name, cluster, place, folder)
        cluster.storage.remove(BUILT)


def _send_records(connection: warehouse.Connection, cluster: Cluster, models: Sequence[Model], folder: Path) -> None:
    """Bring the storage up to what the models read and do not build: records, settings, tariffs, bookkeeping."""
    built = {model.name for model in models}
    for table in sorted(frozenset().union(*(model.references for model in models)) - built):
        columns = columns_read(table, models, columns_of(connection, table))
        cluster.show(table, columns, keep(connection, cluster.storage, table, columns, folder))


def _bring_back(connection: warehouse.Connection, table: str, cluster: Cluster, place: str, folder: Path) -> None:
    with cluster.storage.fetched(place, folder) as files:
        connection.execute(f"create schema if not exists {table.split('.')[0]}")
        listed = ", ".join(quoted(str(file)) for file in files)
        load_built(connection, TABLES[table], f"select * from read_parquet([{listed}])")


@contextmanager
def _staging(settings: Settings) -> Iterator[Path]:
    """A folder beside the warehouse for files on their way, gone at the end."""
    spill = settings.folder / ".spill"
    spill.mkdir(mode=0o700, exist_ok=True)
    with tempfile.TemporaryDirectory(prefix="spark-", dir=spill) as folder:
        yield Path(folder)
