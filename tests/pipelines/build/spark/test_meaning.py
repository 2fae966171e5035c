"""The functions that the SQL models use, run on both engines over awkward values: the answers are the same."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import pytest
import sqlglot
from sqlglot import exp

from models.sql_texts import written_out
from pipelines.build.spark.dialect import translated
from pipelines.build.spark.records import columns_of, keep
from pipelines.build.spark.session import Cluster
from pipelines.shop import warehouse
from tests.models.sql.portability import FUNCTIONS
from tests.shops import rows

# Halves, signs, the ends of what is exact, texts beyond ASCII and beyond 16 bits, a Sunday, a leap day, nulls.
AWKWARD = """
select * from (values
    (1, 'a', '7', 0.5, 3, date '2026-11-22', timestamp '2026-11-22 23:59:59.999999', true, 'x'),
    (2, 'B', '007', 1.5, -3, date '2024-02-29', timestamp '2024-02-29 00:00:00', false, 'x'),
    (3, 'ä', '5.5', -0.5, 0, date '2026-12-31', timestamp '2026-12-31 12:00:00.5', null, 'x'),
    (4, 'Z', '', -1.5, 7, date '2027-01-01', timestamp '2027-01-01 00:00:00', true, 'y'),
    (5, '𝄞', ' 5 ', 2.5, 1000001, date '2026-11-23', timestamp '2026-11-23 00:00:00', true, 'y'),
    (6, '￿', '1e3', 0.49999999999999994, null, null, null, null, 'y'),
    (7, null, null, null, 9007199254740993, date '2000-01-31', timestamp '2000-01-31 00:00:00', false, null),
    (8, 'a ', '-1', 4503599627370497.5, -9007199254740993, date '2100-01-01', null, false, null),
    (9, 'ß', '12', 1.0005, 2, date '2026-03-29', timestamp '2026-03-29 02:30:00', null, 'z')
) as v(k, word, figures, number, amount, day, instant, flag, part)
"""

PROBES = {
    "keys": written_out("""
        select p.k, {key p.word, p.figures, p.number, p.amount} as a, {key p.day, p.flag, p.part} as b
        from shop.probes as p where p.k <> 8
    """),
    "rounding": """
        select p.k, round(p.number) as r, floor(p.number) * 1.0 as f, ceil(p.number) * 1.0 as c, abs(p.number) as a,
            abs(p.amount) as b, round(p.number * 1000) / 1000 as places, cast(round(p.number) as bigint) as whole
        from shop.probes as p where p.k <> 8
    """,
    "dividing": """
        select p.k, p.amount / 1000 as milli, p.amount / 7 as seventh, (p.amount + 500000) / 1000000 as shares,
            cast(floor((p.amount * 3 + 500000) / 1000000) as bigint) as rounded, p.number / 3 as third,
            cast(ceil(p.amount / 250) as bigint) as steps, p.amount / nullif(p.amount, 0) as one
        from shop.probes as p
    """,
    "choosing": """
        select p.k, greatest(p.number, p.amount, 1) as g, least(p.amount, 5) as l, coalesce(p.amount, 0) as c,
            greatest(p.day, date '2026-01-01') as d, case when p.number > 1 then 'more' end as m,
            case p.part when 'x' then 1 when 'y' then 2 end as n, nullif(p.part, 'x') as o,
            p.part is not distinct from 'x' as same, p.part in ('x', 'y') as among, not p.flag as negated,
            p.flag and p.amount > 0 as both, p.flag or p.amount > 0 as either, p.amount & 5 as bits
        from shop.probes as p
    """,
    "days": """
        select p.k, cast(date_trunc('month', p.day) as date) as month, cast(date_trunc('week', p.day) as date) as week,
            date_diff('day', p.day, date '2026-11-22') as gap, cast(p.day - interval '12' month as date) as year_before,
            cast(p.day + p.k * interval '1' day as date) as later, cast(p.instant as date) as on_day,
            cast(p.day as varchar) as words, substr(cast(p.day as varchar), 1, 7) as month_words,
            p.day >= date '2026-11-22' as is_late
        from shop.probes as p
    """,
    "joining": """
        select p.part, string_agg(p.word || chr(31) || cast(p.k as varchar), chr(30) order by p.word) as joined
        from shop.probes as p where p.word is not null group by p.part
    """,
    "words": """
        select p.k, lower(p.word) as low, p.word || '/' || cast(p.amount as varchar) as joined,
            translate(p.figures, '0123456789', '') as rest, replace(p.word, 'a', 'aa') as replaced,
            case when translate(p.figures, '0123456789', '') = '' then try_cast(p.figures as bigint) end as figure,
            p.word < 'a' as is_before, p.word = 'a' as is_a, substr(p.word, 1, 1) as first_letter,
            cast(round(p.number * 100) / 100 as varchar) || ' in' as sides
        from shop.probes as p where p.k <> 8
    """,
    "parts of words": """
        select p.k, length(p.word) as signs, trim(p.figures) as bare, '<' || trim(p.word) || '>' as framed,
            split_part(trim(p.figures), '.', 1) as before_point, split_part(p.figures, '.', 2) as after_point,
            sqrt(abs(p.number) * 3 + 0.5) as root, sqrt(p.k * p.k + 2) as whole_root
        from shop.probes as p
    """,
    "ranks": """
        select p.k, row_number() over (order by p.word, p.k) as by_word, dense_rank() over (order by p.part) as by_part,
            row_number() over (partition by p.part order by p.amount desc, p.k) as place,
            row_number() over (order by p.flag, p.number, p.k) as by_flag,
            lag(p.k) over (order by p.day, p.k) as before,
            lead(p.k) over (order by p.day, p.k) as after, cast(sum(p.k) over (partition by p.part) as bigint) as total,
            first_value(p.k) over (partition by p.part order by p.number, p.k) as least_number,
            last_value(p.amount ignore nulls) over (partition by p.part order by p.k) as last_amount,
            last_value(p.word ignore nulls) over (partition by p.part order by p.k) as last_word,
            last_value(p.flag ignore nulls) over (partition by p.part order by p.k) as last_flag,
            count(*) over (partition by p.part) as n
        from shop.probes as p
    """,
    "groups": """
        select p.part, count(*) as n, count(p.amount) as known, count(distinct p.flag) as flags,
            min(p.word) as first_word,
            max(p.word) as last_word, bool_or(p.flag) as any_flag, bool_and(p.flag) as all_flags, avg(p.k) as mean,
            cast(sum(p.amount) as bigint) as total, max(p.flag) as most, min(p.day) as first_day,
            percentile_cont(0.5) within group (order by p.amount) as middle,
            percentile_cont(0.9) within group (order by p.number) as high
        from shop.probes as p group by p.part
    """,
    "sets": """
        select p.part from shop.probes as p union select p.figures as part from shop.probes as p
    """,
}


def functions(sql: str) -> set[str]:
    return {found.sql_names()[0] for found in sqlglot.parse_one(sql, read="duckdb").find_all(exp.Func)}


def test_every_function_that_models_may_use_is_probed() -> None:
    assert set().union(*map(functions, PROBES.values())) >= FUNCTIONS


def alike(here: dict[str, Any], there: dict[str, Any]) -> dict[str, tuple[Any, Any]]:
    """What differs. Only percentiles are computed in another order of steps: their last digit may differ."""
    return {
        name: (value, there[name])
        for name, value in here.items()
        if value != there[name] and not (name in {"middle", "high"} and math.isclose(value, there[name], rel_tol=1e-15))
    }


@pytest.mark.spark
@pytest.mark.parametrize("name", sorted(PROBES))
def test_both_engines_answer_alike(cluster: Cluster, tmp_path: Path, name: str) -> None:
    with warehouse.scratch() as connection:
        connection.execute(
            f"create table shop.probes as select * replace (cast(number as double) as number) from ({AWKWARD})"
        )
        connection.execute(f"create table core.here as {PROBES[name]}")
        columns = columns_of(connection, "shop.probes")
        cluster.show("shop.probes", columns, keep(connection, cluster.storage, "shop.probes", columns, tmp_path))
        cluster.run("core.there", translated(PROBES[name]), columns_of(connection, "core.here"), "built/core/there")
        with cluster.storage.fetched("built/core/there", tmp_path) as files:
            listed = [str(file) for file in files]
            connection.execute(f"create table core.there as select * from read_parquet({listed})")
        here = rows(connection, "select * from core.here order by all")
        there = rows(connection, "select * from core.there order by all")
    assert len(here) > 3
    assert [alike(one, other) for one, other in zip(here, there, strict=True)] == [{}] * len(here)
