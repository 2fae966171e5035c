"""A small shop in a folder: a few sources, files put into its inbox, and what intake made of them."""

from __future__ import annotations

import tempfile
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from functools import cache
from pathlib import Path
from typing import Any

from models.reference import RECORDS
from models.settings.reading_limits import DEFAULTS, Limits
from models.sql_quoting import literal
from pipelines.intake.deliveries import Delivery
from pipelines.intake.importing import import_files
from pipelines.shop import warehouse
from pipelines.shop.settings import ColumnSource, Engine, Settings, Shop, Source

NOW = datetime(2026, 11, 20, 9, 0)


def source(
    name: str, kind: str, files: str, columns: Mapping[str, str | ColumnSource] | None = None, **more: Any
) -> Source:
    """A source; a plain text names the header. Without columns the headers are the contract's own names."""
    stated: Mapping[str, str | ColumnSource] = columns or {column: column for column in RECORDS[kind].columns}
    mapped = {name: ColumnSource(said) if isinstance(said, str) else said for name, said in stated.items()}
    return Source(name, kind, files, mapped, **more)


SKUS = source("stock", "skus", "skus*", {"sku": "Stock no", "item_type": "Kind"})


@dataclass
class SmallShop:
    """The shop's folder and settings."""

    folder: Path
    sources: Sequence[Source] = (SKUS,)
    shop: Shop = field(default_factory=Shop)
    limits: Limits = DEFAULTS

    @property
    def settings(self) -> Settings:
        return Settings(
            self.folder,
            shop=self.shop,
            engine=Engine(memory_limit="1GB"),
            sources=tuple(self.sources),
            reading=self.limits,
        )

    def put(self, name: str, content: bytes | str) -> Path:
        """A file in the inbox."""
        path = self.settings.path("inbox") / name
        path.write_bytes(content.encode() if isinstance(content, str) else content)
        return path

    def import_files(self, *names: str, **more: Any) -> list[Delivery]:
        """Take in these files of the inbox, or all; the first into a warehouse that was laid out once."""
        laid_out, _ = warehouse.files(self.settings)
        if not laid_out.exists():
            laid_out.write_bytes(_empty_warehouse())
        paths = [self.settings.path("inbox") / name for name in names] or None
        return import_files(self.settings, paths, now=NOW, **more)

    def take_one(self, name: str, content: bytes | str, **more: Any) -> Delivery:
        """Put one file and take it in; it must not be refused."""
        self.put(name, content)
        (delivery,) = self.import_files(name, **more)
        assert delivery.error is None, delivery.error
        return delivery

    def refused(self, name: str, content: bytes | str, **more: Any) -> str:
        """Put one file that is refused as a whole, and give the error's words."""
        self.put(name, content)
        (delivery,) = self.import_files(name, **more)
        assert delivery.error is not None and delivery.delivery_id is None
        return str(delivery.error)

    def rows(self, sql: str) -> list[tuple[Any, ...]]:
        """An answer of the published copy, by an engine that is kept: to open one takes as long as a small import."""
        _, copy = warehouse.files(self.settings)
        if not copy.exists():
            with warehouse.reading(self.settings) as connection:
                return connection.execute(sql).fetchall()
        engine = _engine()
        engine.execute(f"attach {literal(str(copy))} as warehouse (read_only)")
        try:
            engine.execute("use warehouse")
            return engine.execute(sql).fetchall()
        finally:
            engine.execute("use memory")
            engine.execute("detach warehouse")

    def accepted(self, kind: str = "skus") -> list[tuple[Any, ...]]:
        """Contract columns of accepted.KIND, sorted."""
        return self.rows(f"select {', '.join(RECORDS[kind].columns)} from accepted.{kind} order by all")

    def rejected(self) -> list[tuple[Any, ...]]:
        """Row number, column and reason of open rejections, in order."""
        return self.rows(
            "select row_number, column_name, reason from rejected.rows where resolved_by is null "
            "order by delivery_id, row_number"
        )


@cache
def _empty_warehouse() -> bytes:
    """A warehouse as the first import lays it out, before any record; to do so takes a quarter of a small import."""
    with tempfile.TemporaryDirectory() as folder:
        settings = Settings(Path(folder))
        with warehouse.writing(settings, "test"):
            pass
        return warehouse.files(settings)[0].read_bytes()


def renamed(one: Source, **more: Any) -> Source:
    """The source with other settings."""
    return replace(one, **more)


def lines(rows: Iterable[Sequence[str]], delimiter: str = ",") -> str:
    """Rows as plain delimited lines, without quoting."""
    return "".join(delimiter.join(row) + "\n" for row in rows)


@cache
def _engine() -> warehouse.Connection:
    return warehouse.bare()
