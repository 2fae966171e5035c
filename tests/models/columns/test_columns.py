"""Every column is defined once, in models/columns; contracts, page and terminal have no words of their own."""

from __future__ import annotations

import ast
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from models import columns, fields
from models.columns.actions import WRITTEN
from models.contracts import Contract, contract, record
from models.fields import Check, Column, Condition
from models.reference import RECORDS
from models.tables import TABLES
from models.tables.cartons import PLACEMENTS
from models.tables.tariff_comparison import COMPARISON, TERMS
from pipelines.build.suppliers import SUPPLIER

HOUSE = Path(__file__).parents[3]
BUILT = {**TABLES, **PLACEMENTS, **COMPARISON, "comparison.terms": TERMS, str(SUPPLIER.name): SUPPLIER}
MAKERS = {
    *("text", "joined_text", "choice", "count", "cents", "signed_cents", "inches", "pounds", "minutes", "fraction"),
    *("signed_fraction", "number", "flag", "date", "instant"),
}


def modules(*folders: str) -> Iterator[tuple[str, ast.Module]]:
    for folder in folders:
        for path in sorted((HOUSE / folder).rglob("*.py")):
            yield str(path.relative_to(HOUSE)), ast.parse(path.read_text(encoding="utf-8"))


def test_no_column_is_defined_twice() -> None:
    counted = Counter(name for topic in columns.TOPICS for name in topic)
    assert [name for name, times in counted.items() if times > 1] == []


def test_every_column_stands_in_a_contract_but_those_that_surfaces_write() -> None:
    named = {name for schema in (*RECORDS.values(), *BUILT.values()) for name in schema.columns}
    assert set(columns.COLUMNS) - named == set(WRITTEN)


def facts(column: Column) -> Column:
    """All that a contract's column says, but whether it may be unknown."""
    return replace(column, nullable=False)


def own_words(name: str, schema: Contract) -> Iterator[tuple[str, str, Column, Column]]:
    """Contract, column, what it says there and what it is defined as, where the two differ."""
    for column, has in schema.columns.items():
        defined = columns.COLUMNS[column]
        made = defined.in_record(name) if name in RECORDS else defined.in_table()
        if facts(has) != facts(made):
            yield name, column, has, made


def test_a_contract_has_no_words_of_its_own() -> None:
    assert [found for name, schema in (BUILT | RECORDS).items() for found in own_words(name, schema)] == []


def test_columns_are_made_in_the_one_place() -> None:
    makers = {maker for maker in MAKERS if callable(getattr(fields, maker))}
    assert makers == MAKERS
    elsewhere = [
        (path, alias.name)
        for path, tree in modules("models", "dashboards", "pipelines")
        for node in ast.walk(tree)
        if isinstance(node, ast.ImportFrom) and node.module == "models.fields"
        for alias in node.names
        if alias.name in makers and not path.startswith("models/columns/")
    ]
    assert elsewhere == []


def test_page_and_terminal_have_no_list_of_labels() -> None:
    """A mapping of columns to header words, as it once stood there."""
    labels = [
        (path, key.value)
        for path, tree in modules("dashboards", "pipelines")
        for node in ast.walk(tree)
        if isinstance(node, ast.Dict)
        for key, value in zip(node.keys, node.values, strict=True)
        if isinstance(key, ast.Constant) and isinstance(value, ast.Constant) and key.value in columns.COLUMNS
        if isinstance(value.value, str) and value.value[:1].isupper()
    ]
    # The question that `dunnage init` asks.
    assert labels == [("pipelines/shop/starting/__init__.py", "currency")]


def test_a_label_is_short_and_begins_large() -> None:
    labels = {name: columns.label(name) for name in columns.COLUMNS}
    odd = {name: label for name, label in labels.items() if not (1 < len(label) <= 34 and label[0].isupper())}
    assert odd == {}
    assert {name: label for name, label in labels.items() if "_" in label} == {}


def test_a_label_is_stated_only_where_the_name_would_read_otherwise(monkeypatch: pytest.MonkeyPatch) -> None:
    stated = {name: defined.label for name, defined in columns.COLUMNS.items()}
    for name, defined in list(columns.COLUMNS.items()):
        monkeypatch.setitem(columns.COLUMNS, name, replace(defined, label=""))
    assert [name for name, label in stated.items() if label == columns.label(name)] == []


def test_a_question_mark_says_that_a_column_may_be_unknown() -> None:
    made = contract("any.table", "parcel_id | shipped_on? margin_cents").columns
    assert {name: column.nullable for name, column in made.items()} == {
        "parcel_id": False,
        "shipped_on": True,
        "margin_cents": False,
    }


def test_a_name_that_is_not_defined_makes_no_contract() -> None:
    with pytest.raises(KeyError, match="parcel_no"):
        contract("any.table", "parcel_no |")


def test_only_a_built_table_may_hold_what_no_record_may() -> None:
    named = "charge_kind packed_quantity"
    brought_in, built = record("charges", "", named).columns, contract("core.any", named).columns
    assert "unmapped" not in brought_in["charge_kind"].checks[0].bound
    assert "unmapped" in built["charge_kind"].checks[0].bound
    assert brought_in["packed_quantity"].checks[0] == Check(Condition.AT_LEAST, 1)
    assert built["packed_quantity"].checks[0] == Check(Condition.AT_LEAST, 0)


def test_header_words_of_one_kind_of_record_stay_there() -> None:
    """`date` is the day of shipping in a bench log, but the day of the invoice in an invoice."""
    known = {kind: RECORDS[kind].columns["shipped_on"].known_as for kind in ("weights", "charges")}
    assert "date" in known["weights"]
    assert "date" not in known["charges"]
    assert "scan date" in known["charges"]


@pytest.mark.parametrize(
    ("name", "display"),
    [
        ("margin_cents", columns.Display.MONEY),
        ("margin_change_cents", columns.Display.CHANGE),
        ("shipped_on", columns.Display.DAY),
        ("shipped_month", columns.Display.MONTH),
        ("damage_rate", columns.Display.RATE),
        ("adjusted_ratio", columns.Display.NUMBER),
        ("is_cut", columns.Display.FLAG),
        ("no_contract_share", columns.Display.RATE),
    ],
)
def test_the_display_follows_from_quantity_and_suffix(name: str, display: columns.Display) -> None:
    assert columns.display(name) is display
