"""The build: order from references, one transaction, contracts held, portable SQL."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
import sqlglot
from sqlglot import exp

from models import sql_texts
from models.contracts import validated
from models.errors import BuildError, CheckFailedError, ContractError
from models.tables import TABLES
from models.tables.incremental_rules import WORKINGS
from models.tables.rating import WHAT_IF_SCHEMAS
from pipelines.build import last_build, up_to_date
from pipelines.build.checks import run_checks, stop_on
from pipelines.build.last_build import NO_INPUTS
from pipelines.build.sql_models import Model, columns_named, models, ordered, references
from pipelines.shop import warehouse
from pipelines.shop.settings import Settings, Shop
from tests.pipelines.parcels import demo_tariffs
from tests.shops import build_tables, built, fill, rows


def test_order_follows_references() -> None:
    order = [model.name for model in ordered(models())]
    for position, name in enumerate(order):
        later = models()[name].references & set(order[position:])
        assert later == set(), name


def test_what_is_built_on_copied_tariffs_is_what_is_built_on_loaded_ones() -> None:
    """A second shop with the same tariffs has copies of the tables that the first one loaded (tests/shops.py)."""
    parcels = [
        {"parcel_id": "P1", "sale_id": "S1", "scale_weight_lb": 9, "length_in": 9, "width_in": 9, "height_in": 9}
    ]

    def all_of_it() -> dict[str, tuple[list[str], list[str]]]:
        shop = Shop(name="Loaded, then copied")
        with built(shop, demo_tariffs(), needed=("rating.priced",), weights=parcels) as connection:
            names = warehouse.standing(connection)
            return {
                name: (
                    [str(each) for each in connection.execute(f"describe {name}").fetchall()],
                    sorted(map(str, connection.execute(f"select * from {name}").fetchall())),
                )
                for name in names
            }

    loaded, copied = all_of_it(), all_of_it()
    assert len(loaded["rating.priced"][1]) == 1 and len(loaded["shop.tariff_prices"][1]) > 1_000
    assert copied == loaded


def test_a_circle_is_refused() -> None:
    circle = {name: Model(name, "", frozenset({other})) for name, other in (("core.a", "core.b"), ("core.b", "core.a"))}
    with pytest.raises(BuildError, match=r"core\.a"):
        ordered(circle)


def test_references_are_read_from_the_sql() -> None:
    sql = "with x as (select * from core.a) select * from x left join core.b as b on b.k = x.k"
    assert references(sql) == {"core.a", "core.b"}


@cache
def trees() -> dict[str, exp.Expression]:
    """Every model as sqlglot reads it."""
    return {name: sqlglot.parse_one(model.sql, read="duckdb") for name, model in models().items()}


def test_references_are_those_that_a_parser_finds() -> None:
    """sqlglot sees no table without schema but those that the text makes itself, and the same others."""
    for name, tree in trees().items():
        local = {made.alias for made in tree.find_all(exp.CTE)}
        tables = {
            f"{table.db}.{table.name}" for table in tree.find_all(exp.Table) if table.db or table.name not in local
        }
        assert models()[name].references == tables, name
        columns = {column.name for column in tree.find_all(exp.Column) if not column.find(exp.Star)}
        assert all(columns <= columns_named(table, [models()[name]]) for table in tables), name


def test_every_model_states_its_grain_and_has_a_contract() -> None:
    grains = {name: (model.sql[:10], TABLES[name].grain) for name, model in models().items()}
    assert {name: found for name, found in grains.items() if found != ("-- One row", "")} == {}


def test_every_other_table_states_its_grain_in_its_contract() -> None:
    others = {
        name: table.grain
        for name, table in TABLES.items()
        if not name.startswith(tuple(f"{s}." for s in WHAT_IF_SCHEMAS))
    }
    assert [name for name, grain in others.items() if name not in models() and not grain.startswith("One row")] == []


def test_the_grain_is_the_first_sentence_of_the_model() -> None:
    assert sql_texts.grain("marts.margin_year") == (
        "One row per month: the sums of the twelve months of shipping that end with it."
    )


def test_money_sums_are_cast_to_bigint() -> None:
    bare = [
        f"{name}: {total.sql()}"
        for name, tree in trees().items()
        for total in tree.find_all(exp.Sum)
        if "_cents" in total.sql() and not total.find_ancestor(exp.Cast)
    ]
    assert bare == []


def test_built_tables_keep_their_contracts_in_pandera_too() -> None:
    with built(
        sales=[{"sale_id": "S1"}],
        weights=[{"parcel_id": "P1", "sale_id": "S1"}],
        charges=[{"parcel_id": "P1", "charge_kind": "base", "amount_cents": 900}],
        claims=[{"claim_id": "C1", "parcel_id": "P1"}],
    ) as connection:
        for name in sorted(set(models()) - WORKINGS):
            validated(connection.execute(f"select * from {name}").df(), TABLES[name], "the test")


def test_what_stands_on_the_way_to_other_tables_goes_when_they_stand() -> None:
    with built(weights=[{"parcel_id": "P1", "sale_id": "S1"}]) as connection:
        listed = "select table_schema || '.' || table_name as name from information_schema.tables"
        stands = {row["name"] for row in rows(connection, listed)}
    assert stands & set(models()) == set(models()) - WORKINGS


def test_a_failed_build_leaves_the_last_one(tmp_path: Path) -> None:
    settings = Settings(folder=tmp_path)
    with warehouse.writing(settings, "test") as connection:
        fill(connection, "charges", [{"parcel_id": "P1", "charge_kind": "base", "amount_cents": 900}])
        build_tables(connection, settings)
        # A key that repeats cannot come from intake; it breaks the contract of core.charge_lines.
        fill(connection, "charges", [{"parcel_id": "P1", "charge_kind": "base", "amount_cents": 901}])
        with pytest.raises(ContractError, match="repeat"):
            build_tables(connection, settings)
        assert rows(connection, "select billed_cents from marts.parcel_costs") == [{"billed_cents": 900}]


def test_a_stop_check_with_rows_ends_the_build() -> None:
    with built(charges=[{"parcel_id": "P1", "charge_kind": "base", "amount_cents": 900}]) as connection:
        connection.execute("update marts.parcel_costs set billed_cents = 899")
        with pytest.raises(CheckFailedError, match="parcels_billed_cents 899"):
            stop_on(run_checks(connection, "total"))


def test_two_facts_under_one_key_end_the_build() -> None:
    with built(weights=[{"parcel_id": "P1", "sale_id": "S1"}]) as connection:
        stop_on(run_checks(connection, "total"))
        connection.execute("insert into rating.lanes by name select * replace ('away' as carrier) from rating.lanes")
        with pytest.raises(CheckFailedError, match="key_name lane_key"):
            stop_on(run_checks(connection, "total"))


def test_how_long_sizes_are_searched_for_is_nothing_that_tables_depend_on() -> None:
    settings = Settings(folder=Path())
    searched = replace(settings, cartons=replace(settings.cartons, seconds=6.0))
    judged = replace(settings, cartons=replace(settings.cartons, judged_months=6))
    assert up_to_date.inputs(searched) == up_to_date.inputs(settings) != up_to_date.inputs(judged)


def test_an_unchanged_warehouse_is_current(tmp_path: Path) -> None:
    settings = Settings(folder=tmp_path)
    with warehouse.writing(settings, "test") as connection:
        assert not last_build.is_current(connection, settings, NO_INPUTS)
        build_tables(connection, settings)
        assert last_build.is_current(connection, settings, NO_INPUTS)
        assert not last_build.is_current(connection, settings, last_build.Inputs("another tariff"))
        assert not last_build.is_current(connection, settings, last_build.Inputs(others="another decision"))


def test_an_update_of_the_program_builds_again_but_no_month(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    settings = Settings(folder=tmp_path)
    with warehouse.writing(settings, "test") as connection:
        build_tables(connection, settings)
        monkeypatch.setattr(last_build, "code_digest", lambda: "of another version")
        assert not last_build.is_current(connection, settings, NO_INPUTS)
        assert last_build.last_delivery(connection, settings, NO_INPUTS) == 0
