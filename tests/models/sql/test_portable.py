"""The SQL models keep to the dialect that both engines understand alike, and are carried over whole."""

from __future__ import annotations

from functools import cache

import pytest
import sqlglot
from sqlglot import exp

from models.sql_texts import sql_texts
from pipelines.build.spark.dialect import translated
from pipelines.build.sql_models import models
from tests.models.sql import layout
from tests.models.sql.portability import RULES

TEXTS = {name: model.sql for name, model in models().items()} | {
    f"{folder}/{name}": sql
    for folder in ("checks/stop", "checks/total", "checks/warn")
    for name, sql in sql_texts(folder).items()
}


@cache
def parsed(sql: str) -> exp.Expression:
    tree: exp.Expression = sqlglot.parse_one(sql, read="duckdb")
    return tree


def test_sql_keeps_to_what_both_engines_understand_alike() -> None:
    broken = {
        (path, name): [node.sql() for node in rule.found(parsed(sql))]
        for path, sql in TEXTS.items()
        for name, rule in RULES.items()
    }
    assert {place: nodes for place, nodes in broken.items() if nodes} == {}


@pytest.mark.parametrize("name", sorted(RULES))
def test_a_text_that_breaks_the_rule_is_found(name: str) -> None:
    assert list(RULES[name].found(parsed(RULES[name].broken)))


def test_models_are_carried_over_whole() -> None:
    for name in models():
        there = sqlglot.parse_one(translated(TEXTS[name]), read="spark")
        here = parsed(TEXTS[name])
        assert [each.alias_or_name for each in there.selects] == [each.alias_or_name for each in here.selects], name
        # Spark's nulls come first unless told otherwise, DuckDB's come last.
        ordered = [term for term in there.find_all(exp.Ordered) if not term.args.get("desc")]
        assert all(term.args.get("nulls_first") is False for term in ordered), name
        assert not there.find(exp.ApproxQuantile, exp.PercentileCont), name


def test_columns_that_are_passed_on_stand_side_by_side() -> None:
    texts = {path: path.read_text(encoding="utf-8") for path in layout.FOLDER.rglob("*.sql")}
    assert [path.name for path, text in texts.items() if layout.laid_out(text) != text] == []


def test_what_fits_on_a_line_stands_on_one() -> None:
    apart = (
        "select\n    a.x\nfrom s.t as a\ninner join s.u as b\n    on b.x = a.x\n    and b.y = a.y\nwhere\n    a.x > 0"
    )
    assert (
        layout.laid_out(apart)
        == "select a.x\nfrom s.t as a\ninner join s.u as b on b.x = a.x and b.y = a.y\nwhere a.x > 0"
    )
    bracket = "select\n    cast(\n        sum(\n            a.x\n        ) as bigint\n    ) as x\nfrom s.t as a"
    assert layout.laid_out(bracket) == "select\n    cast(sum(a.x) as bigint) as x\nfrom s.t as a"
    query = "with b as (\n    select a.x from s.t as a\n)\n\nselect b.x from b"
    assert layout.laid_out(query) == query


def test_what_is_computed_keeps_a_line_of_its_own() -> None:
    apart = "select\n    a.x,\n    a.y,\n    a.z + 1 as z,\n    b.v,\n    a.w\nfrom s.t as a"
    assert layout.laid_out(apart) == "select\n    a.x, a.y,\n    a.z + 1 as z,\n    b.v,\n    a.w\nfrom s.t as a"
