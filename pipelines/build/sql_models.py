"""The SQL models and the order in which they are built, both read off the SQL itself."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Set
from dataclasses import dataclass
from functools import cache
from graphlib import CycleError, TopologicalSorter
from types import MappingProxyType

from models.errors import BuildError
from models.sql_texts import sql_texts

BUILT_SCHEMAS = ("core", "rating", "marts")
READ_SCHEMAS = (*BUILT_SCHEMAS, "accepted", "intake", "rejected", "shop")
SCHEMA = re.compile(r"\b([a-z_]+)\.(?=[a-z_])")
COMMENT = re.compile(r"--[^\n]*")
WORD = re.compile(r"[a-z_]\w*")


@dataclass(frozen=True)
class Model:
    """One SQL file: the table it builds and the tables it reads."""

    name: str
    sql: str
    references: frozenset[str]

    @property
    def schema(self) -> str:
        """The schema of the table."""
        return self.name.split(".")[0]

    def elsewhere(self, renamed: Mapping[str, str]) -> Model:
        """The same with some schemas under other names."""
        read = frozenset(with_schemas(each, renamed) for each in self.references)
        return Model(with_schemas(self.name, renamed), with_schemas(self.sql, renamed), read)


@cache
def models() -> Mapping[str, Model]:
    """Every SQL model by its table name; each what-if is the rating again over its requests, as far as it is read."""
    texts = {f"{schema}.{name}": sql for schema in BUILT_SCHEMAS for name, sql in sql_texts(schema).items()}
    found = {name: Model(name, sql, references(sql)) for name, sql in texts.items()}
    again = [_rated_again(schema, requests, found) for schema, requests in sql_texts("whatif").items()]
    found |= {model.name: model for each in again for model in each}
    return MappingProxyType(_without_unread(found, {model.name for each in again for model in each}))


def _without_unread(found: Mapping[str, Model], optional: Set[str]) -> dict[str, Model]:
    """The models less those of a what-if that no model reads: a wide row per request nobody asks for costs seconds."""
    read = {name for model in found.values() for name in model.references}
    kept = {name: model for name, model in found.items() if name in read or name not in optional}
    return kept if len(kept) == len(found) else _without_unread(kept, optional)


def _rated_again(schema: str, requests: str, found: Mapping[str, Model]) -> list[Model]:
    """The rating's own models, reading and writing SCHEMA, over other requests."""
    rating = [model for name, model in found.items() if model.schema == "rating" and name != "rating.requests"]
    again = [model.elsewhere({"rating": schema}) for model in rating]
    return [*again, Model(f"{schema}.requests", requests, references(requests))]


def references(sql: str) -> frozenset[str]:
    """The tables that a SQL text reads, as schema.table.

    The house's SQL names every table with its schema, and none by an alias that is a schema's name; so they are found
    without a parser, which takes a second of the processor for all models. A test holds both to the same answer.
    """
    return frozenset(_read_tables().findall(COMMENT.sub("", sql)))


@cache
def _read_tables() -> re.Pattern[str]:
    schemas = "|".join((*READ_SCHEMAS, *sql_texts("whatif")))
    return re.compile(rf"\b(?:from|join)\s+((?:{schemas})\.\w+)")


def with_schemas(sql: str, renamed: Mapping[str, str]) -> str:
    """The SQL text, or name of a table, with some schemas under other names: other tables of the same columns."""
    return SCHEMA.sub(lambda found: f"{renamed.get(found[1], found[1])}.", sql)


def with_table(sql: str, name: str, other: str) -> str:
    """The SQL text with another table of the same columns in the place of the one of that name."""
    return re.sub(rf"\b{re.escape(name)}\b", other, sql)


def columns_named(table: str, found: Iterable[Model]) -> set[str]:
    """The words in the texts of those models that read the table: the names of its columns among them."""
    return {word for model in found if table in model.references for word in WORD.findall(model.sql)}


def ordered(found: Mapping[str, Model]) -> list[Model]:
    """The models so that each comes after those it reads. Raises BuildError for a circle."""
    graph = {model.name: model.references & set(found) for model in found.values()}
    try:
        return [found[name] for name in TopologicalSorter(graph).static_order()]
    except CycleError as circle:
        raise BuildError(
            "models/sql",
            f"the models read one another in a circle: {' -> '.join(circle.args[1])}",
            "the build",
            "part one",
        ) from None


def needed_for(name: str, found: Mapping[str, Model]) -> list[Model]:
    """The model of that name after all that it depends on."""
    wanted, needed = [name], set()
    while wanted:
        needed.add(each := wanted.pop())
        wanted += [other for other in found[each].references if other in found and other not in needed]
    return [model for model in ordered(found) if model.name in needed]
