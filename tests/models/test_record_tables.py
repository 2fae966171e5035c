"""The tables of the records: every column of its contract, whatever an older version left behind."""

from __future__ import annotations

import subprocess
import sys

import pytest

from models.record_tables import table_statements
from models.reference import RECORDS
from models.tables.tariffs import TARIFFS
from pipelines.shop import warehouse


def columns(connection: warehouse.Connection, table: str) -> dict[str, str]:
    return {row[0]: row[1] for row in connection.execute(f"describe {table}").fetchall()}


@pytest.mark.parametrize("kind", sorted(RECORDS))
def test_a_record_keeps_where_it_came_from_and_what_replaced_it(kind: str) -> None:
    wanted = {name: column.sql_type for name, column in RECORDS[kind].columns.items()}
    wanted |= {"delivery_id": "INTEGER", "row_number": "BIGINT"}
    with warehouse.scratch() as connection:
        assert columns(connection, f"accepted.{kind}") == wanted
        assert columns(connection, f"superseded.{kind}") == wanted | {"superseded_by": "INTEGER"}


def test_a_column_that_an_older_version_did_not_have_starts_as_unknown_and_rows_stay() -> None:
    with warehouse.scratch() as connection:
        before = columns(connection, "accepted.claims")
        assert not [each for each in table_statements(warehouse.standing(connection)) if "table" in each]
        connection.execute("alter table accepted.claims drop column salvage_cents")
        connection.execute("insert into accepted.claims (claim_id) values ('CL1')")
        (missing,) = (each for each in table_statements(warehouse.standing(connection)) if "claims" in each)
        connection.execute(missing)
        assert columns(connection, "accepted.claims") == before
        found = connection.execute("select claim_id, salvage_cents from accepted.claims").fetchall()
    assert found == [("CL1", None)]


def test_tariff_tables_stand_without_any_tariff() -> None:
    with warehouse.scratch() as connection:
        for schema in TARIFFS:
            assert list(columns(connection, str(schema.name))) == list(schema.columns)


def test_landing_does_not_make_the_contracts_of_tables_that_are_built() -> None:
    asked = "import sys, models.record_tables; print('models.tables.all_tables' in sys.modules)"
    said = subprocess.run([sys.executable, "-c", asked], check=True, capture_output=True, text=True).stdout
    assert said == "False\n"
