"""What reading commands print as JSON: the warehouse's own rows, under names that the data dictionary has."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pandas as pd
import pytest

from models.shop_units import Units
from models.tables import TABLES
from pipelines import cli, printing
from pipelines.commands import completion
from pipelines.shop import warehouse


def answer(capsys: pytest.CaptureFixture[str], folder: Path, *words: str) -> dict[str, list[dict[str, Any]]]:
    assert cli.main(["--shop", str(folder), *words, "--json"]) == 0
    found: dict[str, list[dict[str, Any]]] = json.loads(capsys.readouterr().out)
    return found


def test_cells_are_plain_and_unknown_ones_null(capsys: pytest.CaptureFixture[str]) -> None:
    rows = pd.DataFrame(
        {
            "shipped_on": pd.Series([pd.Timestamp("2026-10-31"), None], dtype="datetime64[us]"),
            "billed_cents": pd.array([1250, None], dtype="Int64"),
            "length_in": [48.0, None],
            "is_cut": pd.array([True, None], dtype="boolean"),
            "item_type": ["tripod\n=1+1", None],
        }
    )
    printing.print_json({"t": rows}, Units("USD", "metric"))
    assert json.loads(capsys.readouterr().out) == {
        "t": [
            {
                "shipped_on": "2026-10-31",
                "billed_cents": 1250,
                "is_cut": True,
                "item_type": "tripod\n=1+1",
                "length_cm": 121.92,
            },
            {"shipped_on": None, "billed_cents": None, "is_cut": None, "item_type": None, "length_cm": None},
        ]
    }


def test_disputes_and_traces_are_the_warehouse_rows(
    demo_folder: Path, demo: warehouse.Connection, capsys: pytest.CaptureFixture[str]
) -> None:
    listed = answer(capsys, demo_folder, "disputes")["marts.billing_disputes"]
    assert answer(capsys, demo_folder, "disputes", "list")["marts.billing_disputes"] == listed
    ((count, cents),) = demo.execute(
        "select count(*), sum(over_cents) from marts.billing_disputes where is_disputable"
    ).fetchall()
    assert (len(listed), sum(row["over_cents"] for row in listed)) == (count, cents)
    assert set(listed[0]) <= set(TABLES["marts.billing_disputes"].columns)
    words = ("trace", "marts.item_type_costs", "--item-type", "tripod", "--month", "2026-10")
    (row,) = answer(capsys, demo_folder, *words)["marts.item_type_costs"]
    asked = "select margin_cents from marts.item_type_costs where item_type = 'tripod' and shipped_month = '2026-10-01'"
    assert demo.execute(asked).fetchall() == [(row["margin_cents"],)]


@pytest.mark.parametrize("command", ["status", "watch"])
def test_what_is_due_is_the_same_for_both(command: str, demo_folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    found = answer(capsys, demo_folder, command)
    assert found["marts.billing_disputes"] and found["analysis.claim_steps"]
    assert all(set(rows[0]) <= set(TABLES[name].columns) for name, rows in found.items() if rows and name in TABLES)


# Every command that only looks, and the tables of its own that README names.
LOOKING = {
    "status": (),
    "watch": (),
    "disputes": (),
    "damage --item-type tripod": (),
    "decide": (),
    "trial list": (),
    "claims list": ("claims",),
    "claims list --all": ("claims",),
    "claims insure": (),
    "intake --list": ("deliveries",),
    "rejects": ("rejection_reasons",),
    "charges": ("unknown_words",),
    "titles": ("rules", "proposals", "unknown_titles"),
    "bridge 2026-09 2026-10": ("margins", "bridge"),
    "trace marts.coverage --month 2026-10": ("parcels", "sources"),
    "tariff zones": ("learned_zones",),
    "tariff show northline-2026": ("tariff", "services", "surcharges", "prices"),
    "tariff compare {shop}/tariffs/northline-2026.toml": (),
    "tariff compare {shop}/tariffs/northline-2026.toml --what-if divisor=166": (),
    "explain {parcel}": ("margin", "parcel", "lines", "near", "disputes"),
}


@pytest.mark.parametrize("command", LOOKING)
def test_every_command_that_looks_has_json_of_named_tables(
    command: str, demo_folder: Path, demo: warehouse.Connection, capsys: pytest.CaptureFixture[str]
) -> None:
    ((parcel,),) = demo.execute("select min(parcel_id) from core.parcels").fetchall()
    found = answer(capsys, demo_folder, *command.format(parcel=parcel, shop=demo_folder).split())
    assert found and set(LOOKING[command]) <= set(found)
    columns = [name for rows in found.values() for row in rows for name in row]
    assert not [name for name in (*found, *columns) if not re.fullmatch(r"[a-z0-9_.]+", name)]
    for name in set(found) & set(TABLES):
        assert set().union(*(row.keys() for row in found[name])) <= set(TABLES[name].columns) | WRITTEN, name
    readme = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
    assert all(f"`{name}`" in readme for name in LOOKING[command])


# Words that surfaces write beside a table's own columns.
WRITTEN = {"action_words", "alarm_words", "go_on_with", "other_way"}


def test_the_dictionary_has_every_table_and_says_what_its_columns_mean(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["records", "analysis.bench_carriers", "--json"]) == 0
    (rows,) = json.loads(capsys.readouterr().out).values()
    assert [row["column"] for row in rows] == list(TABLES["analysis.bench_carriers"].columns)
    assert all(row["meaning"] for row in rows)
    assert cli.main(["records", "marts.anvils"]) == 1
    assert "no table of the warehouse" in capsys.readouterr().err


def parsers() -> dict[str, bool]:
    """Each command or action, and whether it takes --json."""
    found = {}
    for names, parser in completion._named(cli.parser_of_all(), ()):
        if names and not completion._actions(parser):
            found[" ".join(names)] = any("--json" in each.option_strings for each in parser._actions)
    return found


# They write, send, serve or set up; what they print is what they did.
WRITING = {
    *("demo", "init", "map", "review", "send", "export", "bench-list", "bench-sheets", "schedule", "completion"),
    *("backup", "restore", "replay", "disputes export", "disputes mark", "claims mark", "claims texts"),
    *("tariff learn", "tariff import", "tariff format", "trial start", "trial end"),
}


def test_a_command_without_json_is_one_that_writes() -> None:
    assert {name for name, has_json in parsers().items() if not has_json} == WRITING
