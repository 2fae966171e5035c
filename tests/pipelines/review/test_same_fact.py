"""The same fact has the same number, in whichever table it stands; another definition has another name."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from models.fields import Quantity
from models.tables import TABLES
from pipelines.shop import warehouse

# Their grain says that they count other parcels: twelve months, those with a label, those that a bench sheet is for.
OF_OTHER_PARCELS = frozenset(
    {
        *("marts.margin_year", "marts.damage_year", "marts.packing_method_year"),
        *("marts.quoted_against_billed", "analysis.bench_sheets"),
    }
)
SHOWN = [name for name in TABLES if name.startswith(("marts.", "analysis.")) and name not in OF_OTHER_PARCELS]


def stated_twice() -> Iterator[tuple[str, str, str]]:
    """Two tables with a row for the same things, and a figure that both state."""
    for one, other in combinations(SHOWN, 2):
        if set(TABLES[one].key) == set(TABLES[other].key):
            for name, column in TABLES[one].columns.items():
                is_figure = column.quantity not in (Quantity.TEXT, Quantity.FLAG) and name not in TABLES[one].key
                if is_figure and name in TABLES[other].columns:
                    yield one, other, name


def test_tables_of_the_same_things_state_the_same_figures(demo: warehouse.Connection) -> None:
    standing = {
        f"{schema}.{table}"
        for schema, table in demo.execute("select table_schema, table_name from information_schema.tables").fetchall()
    }
    compared = 0
    wrong: dict[tuple[str, str, str], int] = {}
    for one, other, name in stated_twice():
        if {one, other} <= standing:
            same = " and ".join(f"a.{each} is not distinct from b.{each}" for each in TABLES[one].key)
            joined = f"from {one} as a inner join {other} as b on {same} where a.{name} is not null"
            (both, unlike) = demo.execute(
                f"select count(*), count(case when a.{name} <> b.{name} then 1 end) {joined} and b.{name} is not null"
            ).fetchall()[0]
            compared += both
            wrong |= {(one, other, name): unlike} if unlike else {}
    assert wrong == {}
    assert compared > 1_000


def test_a_figure_under_a_name_that_it_shares_is_found() -> None:
    """As it once stood: the costs of packing methods showed the adjusted rate under the name of the corrected one."""
    assert ("analysis.damage_rates", "analysis.severity", "claim_count") in set(stated_twice())
    assert not {"damage_rate", "shrunk_rate"} & set(TABLES["analysis.packing_decision"].columns)
    assert "severity_cents" not in TABLES["analysis.packing_decision"].columns
