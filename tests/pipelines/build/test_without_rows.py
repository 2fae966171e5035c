"""A query is taken for empty only where the engine finds it so."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from itertools import chain, combinations
from pathlib import Path

import pytest

from models.sql_texts import sql_texts
from models.tables import TABLES
from pipelines.build.loading import load_built
from pipelines.build.rebuilding import load_grounds
from pipelines.build.sql_models import models, ordered, references, with_table
from pipelines.build.without_rows import read
from pipelines.shop import warehouse
from pipelines.shop.settings import Settings, load
from tests.shops import make_workings

CHECKS = {
    f"{folder}/{name}": sql
    for folder in ("checks/stop", "checks/total", "checks/warn")
    for name, sql in sql_texts(folder).items()
}
TEXTS = {name: model.sql for name, model in models().items()} | CHECKS
# A query, and the least sets of tables without which it is known to have no rows.
KNOWN = {
    "select a.n from s.a as a": ["a"],
    "select a.n from s.a as a inner join s.b as b on b.n = a.n": ["a", "b"],
    "select a.n from s.a as a cross join s.b as b left join s.c as c on c.n = a.n": ["a", "b"],
    "select a.n from s.a as a left join s.b as b on b.n = a.n inner join s.c as c on c.n = a.n": ["a", "c"],
    "select a.n from s.a as a union all select b.n from s.b as b": ["ab"],
    "with x as (select n from s.a union select n from s.b), y as (select n from x) select y.n from y": ["ab"],
    "with x as (select n from s.a), y as (select n from s.b) select x.n from x left join y on y.n = x.n": ["a"],
    "select x.n from (select n from s.a where n > 0) as x cross join s.b as b": ["a", "b"],
    "select count(*) as n from s.a": [],
    "select coalesce(cast(sum(a.n) as bigint), 0) as n from s.a as a": [],
    "select a.n, count(*) as c from s.a as a group by a.n": ["a"],
    "select a.n, sum(a.n) over (order by a.n) as c from s.a as a": ["a"],
    "select (select count(*) from s.b) as c from s.a as a": ["a"],
    "select a.n from s.a as a where a.n in (select n from s.b)": ["a"],
    "select a.n from s.a as a where not exists (select 1 from s.b as b where b.n = a.n)": ["a"],
    "select x.c from (select count(*) as c from s.a) as x": [],
    "select x.c from (select count(*) as c from s.a) as x cross join s.b as b": ["b"],
    "select a.n is distinct from 2 as d from s.a as a": ["a"],
    "select 'from s.b' as d from s.a as a -- from s.c": ["a"],
    "select a.n from s.a as a full join s.b as b on b.n = a.n": [],
    "select a.n from s.a as a right join s.b as b on b.n = a.n": [],
    "select a.n from s.a as a except select b.n from s.b as b": [],
    "select a.n, sum(a.n) as c from s.a as a group by rollup (a.n)": [],
    "select some_unknown(a.n) as d from s.a as a": [],
    "select 1 as n": [],
}


def subsets(names: str) -> Iterator[tuple[str, ...]]:
    return chain.from_iterable(combinations(names, count) for count in range(len(names) + 1))


@pytest.mark.parametrize("sql", KNOWN)
def test_what_a_query_cannot_have_rows_without(sql: str) -> None:
    concluded = {without for without in subsets("abc") if read(sql).is_empty({f"s.{name}" for name in without})}
    assert concluded == {without for without in subsets("abc") if any(set(least) <= {*without} for least in KNOWN[sql])}


def test_the_engine_finds_no_rows_either() -> None:
    with warehouse.scratch() as connection:
        connection.execute("create schema s")
        for without in subsets("abc"):
            for name in "abc":
                connection.execute(f"create or replace table s.{name} as select 1 as n where {name not in without}")
            empty = {f"s.{name}" for name in without}
            for sql in (sql for sql in KNOWN if read(sql).is_empty(empty)):
                assert connection.execute(sql).fetchall() == [], (sql, without)


@pytest.fixture(scope="module")
def whole(third_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[warehouse.Connection]:
    """A third of the demo with the tables that a build drops at its end."""
    folder = tmp_path_factory.mktemp("whole") / "shop"
    shutil.copytree(third_folder, folder)
    settings = load(folder)
    with warehouse.writing(settings, "test") as connection:
        make_workings(connection, settings)
        yield connection


@pytest.mark.slow(10)
def test_no_table_of_the_demo_has_rows_where_it_is_taken_for_empty(whole: warehouse.Connection) -> None:
    """Each table that a model or check reads is emptied alone, and all of them together."""
    wrong, asked = [], 0
    for name, sql in TEXTS.items():
        for without in (*((each,) for each in references(sql)), tuple(references(sql))):
            if read(sql).is_empty(set(without)):
                asked += 1
                emptied = sql
                for table in without:
                    emptied = with_table(emptied, table, f"(select * from {table} where false)")
                if whole.execute(f"select 1 from ({emptied}\n) limit 1").fetchall():
                    wrong.append((name, without))
    assert wrong == []
    assert asked > 2 * len(models())


def test_the_engine_makes_the_tables_of_an_empty_shop_as_their_contracts_say() -> None:
    """What is made of the contract alone has the columns and types that the engine gives it, and no row."""
    with warehouse.scratch() as connection:
        load_grounds(connection, Settings(folder=Path()), ())
        for schema in {model.schema for model in models().values()}:
            connection.execute(f"create schema if not exists {schema}")
        made = {model.name: load_built(connection, TABLES[model.name], model.sql) for model in ordered(models())}
    assert {name for name, count in made.items() if count} == {"marts.record_states"}
