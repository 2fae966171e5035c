"""The dialect of the SQL models: what DuckDB and Spark understand alike. Each rule says what would go wrong otherwise.

test_portable.py holds the models to it; tests/pipelines/build/spark/test_meaning.py runs the functions on both engines.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from sqlglot import exp

from models.tables import TABLES
from pipelines.build.spark.dialect import is_hexadecimal

# Each is probed on both engines in test_meaning.py.
FUNCTIONS = {
    "ABS", "AND", "AVG", "CASE", "CAST", "CEIL", "CHR", "COALESCE", "COUNT", "DATEDIFF", "DENSE_RANK",
    "FIRST_VALUE", "FLOOR", "GREATEST", "GROUP_CONCAT", "IF", "LAG", "LAST_VALUE", "LEAD", "LEAST", "LENGTH",
    "LOGICAL_AND", "LOGICAL_OR", "LOWER", "MAX", "MD5", "MIN", "NULLIF", "OR", "PERCENTILE_CONT", "REPLACE", "ROUND",
    "ROW_NUMBER", "SPLIT_PART", "SQRT", "SUBSTRING", "SUM", "TIMESTAMP_TRUNC", "TRANSLATE", "TRIM", "TRY_CAST",
}  # fmt: skip

WHOLE_NAMES = {
    name for table in TABLES.values() for name, column in table.columns.items() if column.sql_type == "BIGINT"
}
WHOLE_ENDINGS = ("_cents", "_milli", "_millionths", "_count", "_quantity", "_bits", "_steps", "_step", "_grain", "_bit")
ORDERED = (exp.RowNumber, exp.DenseRank, exp.FirstValue, exp.LastValue, exp.Lag, exp.Lead)
Finder = Callable[[exp.Expression], Iterable[exp.Expression]]


def of(*kinds: type[exp.Expression]) -> Finder:
    return lambda tree: tree.find_all(*kinds)


def asof(tree: exp.Expression) -> Iterator[exp.Expression]:
    return (join for join in tree.find_all(exp.Join) if join.args.get("method") == "ASOF")


def table_functions(tree: exp.Expression) -> Iterator[exp.Expression]:
    return (table for table in tree.find_all(exp.Table) if isinstance(table.this, exp.Func))


def every_column(tree: exp.Expression) -> Iterator[exp.Expression]:
    yield from (group for group in tree.find_all(exp.Group) if group.args.get("all"))
    yield from (
        term
        for order in tree.find_all(exp.Order)
        for term in order.expressions
        if term.sql(dialect="duckdb").upper().startswith("ALL")
    )


def distinct_on(tree: exp.Expression) -> Iterator[exp.Expression]:
    return (distinct for distinct in tree.find_all(exp.Distinct) if distinct.args.get("on"))


def reused_aliases(tree: exp.Expression) -> Iterator[exp.Expression]:
    """Bare names that a select gives itself and uses in the same select."""
    for select in tree.find_all(exp.Select):
        given = {each.alias for each in select.expressions if isinstance(each, exp.Alias)}
        parts = [*select.expressions, select.args.get("where"), select.args.get("group"), select.args.get("having")]
        for column in (found for part in parts if part for found in part.find_all(exp.Column)):
            if not column.table and column.name in given and column.find_ancestor(exp.Select) is select:
                own = column.parent if isinstance(column.parent, exp.Alias) else None
                if own is None or own.alias != column.name:
                    yield column


def rounded_to_places(tree: exp.Expression) -> Iterator[exp.Expression]:
    return (found for found in tree.find_all(exp.Round) if found.args.get("decimals") is not None)


WHOLE_BY_ITSELF = (exp.Round, exp.Floor, exp.Ceil, exp.Count, exp.DateDiff, exp.Length, exp.Null)


def is_whole(term: exp.Expression) -> bool:
    """Whether a term has no fraction, as far as its text tells."""
    if isinstance(term, exp.Column):
        return term.name in WHOLE_NAMES or term.name.endswith(WHOLE_ENDINGS)
    if isinstance(term, exp.Literal):
        return bool(term.is_int)
    if isinstance(term, exp.Cast):
        return bool(term.to.is_type("bigint", "int"))
    parts = made_of(term)
    return isinstance(term, WHOLE_BY_ITSELF) or is_hexadecimal(term) or (bool(parts) and all(map(is_whole, parts)))


def made_of(term: exp.Expression) -> list[exp.Expression]:
    """The terms that a term is whole with: sides of a sum, results of a case; none where it may have a fraction."""
    if isinstance(term, exp.Window | exp.Paren | exp.Neg | exp.Sum | exp.Max | exp.Min | exp.Abs):
        return [term.this]
    if isinstance(term, exp.Add | exp.Sub | exp.Mul):
        return [term.left, term.right]
    if isinstance(term, exp.Greatest | exp.Least | exp.Coalesce):
        return [term.this, *term.expressions]
    if isinstance(term, exp.Case):
        return [branch.args["true"] for branch in term.args["ifs"]] + list(filter(None, [term.args.get("default")]))
    return []


def cut_fractions(tree: exp.Expression) -> Iterator[exp.Expression]:
    return (
        cast
        for cast in tree.find_all(exp.Cast)
        if cast.to.is_type("bigint", "int") and not isinstance(cast, exp.TryCast) and not is_whole(cast.this)
    )


def unguarded_numbers(tree: exp.Expression) -> Iterator[exp.Expression]:
    for cast in tree.find_all(exp.TryCast):
        guard = cast.find_ancestor(exp.If)
        if guard is None or not guard.this.find(exp.Translate):
            yield cast


def bare_instants(tree: exp.Expression) -> Iterator[exp.Expression]:
    for term in tree.find_all(exp.TimestampTrunc, exp.DateTrunc, exp.Interval):
        cast = term.find_ancestor(exp.Cast)
        if cast is None or not cast.to.is_type("date"):
            yield term


def unordered_windows(tree: exp.Expression) -> Iterator[exp.Expression]:
    return (w for w in tree.find_all(exp.Window) if isinstance(w.this, ORDERED) and not w.args.get("order"))


def decimal_quotients(tree: exp.Expression) -> Iterator[exp.Expression]:
    return (
        quotient
        for quotient in tree.find_all(exp.Div)
        if any(isinstance(side, exp.Literal) and not side.is_int for side in (quotient.left, quotient.right))
    )


def unknown_functions(tree: exp.Expression) -> Iterator[exp.Expression]:
    return (found for found in tree.find_all(exp.Func) if found.sql_names()[0] not in FUNCTIONS)


def keys_of_several(tree: exp.Expression) -> Iterator[exp.Expression]:
    """Texts put together from more than one table as one side of a join's equality."""
    for join in tree.find_all(exp.Join):
        for equality in join.args["on"].find_all(exp.EQ) if join.args.get("on") else ():
            for side in (equality.left, equality.right):
                if isinstance(side, exp.DPipe) and len({column.table for column in side.find_all(exp.Column)}) > 1:
                    yield side


@dataclass(frozen=True)
class Rule:
    """What is not written, why, how it is found, and a text that breaks the rule."""

    reason: str
    found: Finder
    broken: str


RULES = {
    "no nested types": Rule(
        "lists, structs and lambdas are named and indexed differently (DuckDB counts from 1, Spark from 0)",
        of(exp.Array, exp.List, exp.Struct, exp.Lambda, exp.ArrayAgg, exp.Explode, exp.Unnest, exp.Bracket),
        "select t.a[1] as first from core.t as t",
    ),
    "no joins of one engine": Rule(
        "Spark has no ASOF join", asof, "select 1 as a from core.t asof join core.u on x >= y"
    ),
    "no lateral, qualify, pivot": Rule(
        "sqlglot rewrites them, and what it writes is no longer what was read here",
        of(exp.Lateral, exp.Qualify, exp.Pivot),
        "select t.a from core.t as t qualify row_number() over (order by t.a) = 1",
    ),
    "no table functions": Rule(
        "series and unnested lists are other functions with other ends", table_functions, "select 1 as a from range(3)"
    ),
    "every column is named": Rule(
        "`all` groups and orders by other columns as soon as a column is added; Spark orders nulls its own way in it",
        every_column,
        "select t.a, count(*) as n from core.t as t group by all",
    ),
    "no distinct on": Rule(
        "Spark has none; which row stays would depend on chance",
        distinct_on,
        "select distinct on (t.a) t.b from core.t as t",
    ),
    "no limit": Rule(
        "which rows stay depends on chance among equals", of(exp.Limit), "select t.a from core.t as t limit 1"
    ),
    "no alias in its own select": Rule(
        "where a column of the same name exists, DuckDB takes the alias in `where` and Spark the column",
        reused_aliases,
        "select t.a + 1 as b, b * 2 as c from core.t as t",
    ),
    "no //": Rule(
        "DuckDB rounds it down for doubles, Spark's div gives whole numbers only",
        of(exp.IntDiv),
        "select t.a // 2 as b from core.t as t",
    ),
    "no rounding to places": Rule(
        "DuckDB rounds the binary number, Spark the shortest decimal that names it: 1.0005 to three places is 1.0 and "
        "1.001; write round(x * 1000) / 1000",
        rounded_to_places,
        "select round(t.a, 3) as b from core.t as t",
    ),
    "no fractions cut by a cast": Rule(
        "as a whole number 1.5 is 2 in DuckDB and 1 in Spark; round, floor or ceil first",
        cut_fractions,
        "select cast(t.length_in as bigint) as b from core.t as t",
    ),
    "figures are looked at before they become numbers": Rule(
        "'5.5' as bigint is 6 in DuckDB and unknown in Spark; write"
        " case when translate(x, '0123456789', '') = '' then ...",
        unguarded_numbers,
        "select try_cast(t.zone as bigint) as b from core.t as t",
    ),
    "days stay days": Rule(
        "date_trunc and date + interval give an instant in one engine and a day in the other; cast to date",
        bare_instants,
        "select date_trunc('month', t.shipped_on) as b from core.t as t",
    ),
    "windows that rank are ordered": Rule(
        "without an order the first row is a matter of chance",
        unordered_windows,
        "select row_number() over (partition by t.a) as b from core.t as t",
    ),
    "no quotient with a decimal number": Rule(
        "a decimal divided is a double in DuckDB and a decimal of few places in Spark; divide by whole numbers",
        decimal_quotients,
        "select t.a / 2.54 as b from core.t as t",
    ),
    "a join's key is of one table": Rule(
        "Spark puts off a key made of several tables and may join every row with every row first; make it a column",
        keys_of_several,
        "select 1 as a from core.t as t cross join core.u as u inner join core.v as v on v.k = t.a || u.b",
    ),
    "only functions probed on both engines": Rule(
        "functions of one name may differ: median, mode, regular expressions, string_agg, approximate ones",
        unknown_functions,
        "select median(t.a) as b from core.t as t",
    ),
}
