"""Carries the SQL models from DuckDB's dialect to Spark's. tests/models/sql/test_portable.py says what carries."""

from collections.abc import Mapping, Sequence

import sqlglot
from sqlglot import exp

from pipelines.build.sql_models import Model, columns_named

# Their columns are wanted as they are. Of other tables only what a model names goes out: rejected rows hold texts.
WHOLE = ("accepted.", "shop.")


def translated(sql: str) -> str:
    """The text in Spark's dialect, its tables by the names of their views."""
    tree = sqlglot.parse_one(sql, read="duckdb")
    for table in tree.find_all(exp.Table):
        if table.db:
            named = view(f"{table.db}.{table.name}")
            table.set("db", None)
            table.set("this", exp.to_identifier(named))
    for percentile in list(tree.find_all(exp.WithinGroup)):
        percentile.replace(_exact(percentile))
    for text in [each for each in tree.find_all(exp.DPipe) if is_hexadecimal(each)]:
        text.replace(exp.func("conv", text.right.copy(), exp.Literal.number(16), exp.Literal.number(10)))
    return str(tree.sql(dialect="spark", unsupported_level=sqlglot.ErrorLevel.RAISE))


def is_hexadecimal(term: exp.Expression) -> bool:
    """Whether a text is '0x' and figures, which DuckDB casts to a number; Spark's `conv` reads them."""
    return isinstance(term, exp.DPipe) and isinstance(term.left, exp.Literal) and term.left.this == "0x"


def view(table: str) -> str:
    """The name of a table's view: Spark's temporary views stand in no schema."""
    return table.replace(".", "__")


def _exact(percentile: exp.WithinGroup) -> exp.Expression:
    """Spark's `percentile` interpolates as percentile_cont does; sqlglot would write an approximation."""
    ordered = percentile.expression.expressions[0]
    return exp.Anonymous(this="percentile", expressions=[ordered.this.copy(), percentile.this.this.copy()])


def columns_read(table: str, models: Sequence[Model], columns: Mapping[str, str]) -> dict[str, str]:
    """Those columns of a table that go out to Spark, with their types."""
    if table.startswith(WHOLE):
        return dict(columns)
    named = columns_named(table, models)
    return {name: kind for name, kind in columns.items() if name in named}
