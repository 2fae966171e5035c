"""Bad rows: every way in which a contract can be broken is there once, and nothing else depends on them."""

from __future__ import annotations

import csv
from functools import cache

import pandas as pd
import pytest

from models.fields import LONGEST_TEXT, Condition, Quantity
from models.reference import RECORDS
from sample_data.faults import RULE_BREAKS
from tests.sample_data.shop_files import SHOP, Row, header, is_bad, names, rows, sources, truth

WITH_BAD = [source for source in sources() if source["name"] != "corvane-charges"]
SOURCES = pytest.mark.parametrize("source", WITH_BAD, ids=lambda source: str(source["name"]))
NUMBERS = {Quantity.COUNT, Quantity.MONEY, Quantity.LENGTH, Quantity.WEIGHT, Quantity.MINUTES, Quantity.NUMBER}


@cache
def answers() -> dict[tuple[str, int], tuple[str, str]]:
    """(file, row) -> (column, reason); the first row of a file is 1."""
    with (SHOP / "truth" / "bad_rows.csv").open(encoding="utf-8", newline="") as opened:
        return {(row["file"], int(row["row"])): (row["column"], row["reason"]) for row in csv.DictReader(opened)}


@cache
def bad_of(source_name: str) -> str:
    (name,) = (name for name in names(source_name, with_bad=True) if is_bad(name))
    return name


def bad_file(source: Row) -> str:
    return bad_of(source["name"])


def expected(source: Row) -> set[tuple[str, str]]:
    return {answer for (name, _), answer in answers().items() if name == bad_file(source)}


def test_there_is_a_bad_file_for_every_kind() -> None:
    assert {source["kind"] for source in WITH_BAD} == {source["kind"] for source in sources()}


@SOURCES
def test_every_row_but_the_first_has_its_answer(source: Row) -> None:
    name = bad_file(source)
    assert {number for file, number in answers() if file == name} == set(range(2, len(rows(name)) + 1))
    stated = next(each for each in truth()["files"] if each["file"] == name)
    assert (stated["rejected"], stated["unchanged"]) == (len(rows(name)) - 1, 1)


@SOURCES
def test_every_kind_of_break_is_there(source: Row) -> None:
    schema = RECORDS[source["kind"]]
    wanted = set()
    for column, said in source["columns"].items():
        if isinstance(said, dict) and "column" not in said:
            continue
        kind = schema.columns[column].quantity
        has_list = Condition.AMONG in [check.test for check in schema.columns[column].checks]
        wanted |= {(column, "missing")} if not schema.columns[column].nullable else set()
        wanted |= {(column, "unreadable")} if kind in NUMBERS or kind is Quantity.FLAG else set()
        wanted |= {(column, "impossible")} if kind in (Quantity.DATE, Quantity.INSTANT) else set()
        wanted |= {(column, "list")} if has_list else set()
        wanted |= {(column, "long"), (column, "control")} if kind is Quantity.TEXT and not has_list else set()
    assert wanted <= expected(source)
    assert (("", "columns") in expected(source)) is (source.get("format", "csv") == "csv")


@SOURCES
def test_every_column_with_bounds_has_a_row_out_of_them(source: Row) -> None:
    bounded = {
        column
        for column, said in source["columns"].items()
        if (isinstance(said, str) or "column" in said)
        and any(
            check.test in (Condition.AT_LEAST, Condition.MORE_THAN, Condition.AT_MOST)
            for check in RECORDS[source["kind"]].columns[column].checks
        )
    }
    # A side between two others cannot leave its bounds without breaking their order as well.
    between = {"width_in", "billed_width_in", "inside_length_in", "inside_height_in", "filed_on"}
    assert bounded - {column for column, reason in expected(source) if reason == "range"} <= between


@pytest.mark.parametrize("kind", sorted(RULE_BREAKS))
def test_each_break_of_a_rule_breaks_one_rule_and_together_all(kind: str) -> None:
    schema = RECORDS[kind]
    broken: list[str] = []
    for change in RULE_BREAKS[kind]:
        row = one_row(kind, change)
        reasons = [rule.reason for rule in schema.rules if not rule.holds(row).all()]
        assert len(reasons) == 1, (change, reasons)
        assert next(iter(change)) in reasons[0]
        broken += reasons
    assert set(broken) == {rule.reason for rule in schema.rules}


def one_row(kind: str, change: Row) -> pd.DataFrame:
    """The contract's examples with the change, typed as the contract says."""
    row: dict[str, pd.Series] = {}
    for name, column in RECORDS[kind].columns.items():
        value = change.get(name, column.example)
        is_day = column.quantity in (Quantity.DATE, Quantity.INSTANT)
        row[name] = pd.to_datetime(pd.Series([value])) if is_day else pd.Series([value], dtype=column.quantity.dtype)
    return pd.DataFrame(row)


@SOURCES
def test_bad_rows_have_keys_of_their_own(source: Row) -> None:
    name = bad_file(source)
    cells = [[str(cell) for cell in row.values()] for row in rows(name)[1:]]
    spoiled = {number for (file, number), (column, reason) in answers().items() if file == name and reason == "columns"}
    keys = [header(source["name"], column) for column in RECORDS[source["kind"]].key if has_header(source, column)]
    broken_keys = {
        number
        for (file, number), (column, _) in answers().items()
        if file == name and column in RECORDS[source["kind"]].key
    }
    for number, row in enumerate(cells, 2):
        if number not in spoiled | broken_keys:
            assert any(cell.startswith("BAD-") for cell in row)
    good = {tuple(str(row[each]) for each in keys) for file in names(source["name"]) for row in rows(file)}
    assert not any("BAD-" in cell for key in good for cell in key)


def has_header(source: Row, column: str) -> bool:
    said = source["columns"].get(column)
    return isinstance(said, str) or (isinstance(said, dict) and "column" in said)


@SOURCES
def test_the_good_row_is_one_already_delivered(source: Row) -> None:
    first = {key: str(cell) for key, cell in rows(bad_file(source))[0].items()}
    known = [{key: str(cell) for key, cell in row.items()} for name in names(source["name"]) for row in rows(name)]
    assert first in known


def test_a_bad_cell_is_what_its_reason_says() -> None:
    for (name, number), (column, reason) in answers().items():
        if reason in ("columns", "rule", "range"):
            continue
        source = next(each["name"] for each in WITH_BAD if bad_file(each) == name)
        cell = rows(name)[number - 1][header(source, column)]
        shown = "" if cell is None else str(cell)
        wanted = {
            "missing": shown == "",
            "unreadable": shown in ("twelve", "perhaps"),
            "impossible": "02-31" in shown or "31/02" in shown,
            "list": shown == "sideways",
            "long": len(shown) > LONGEST_TEXT,
            "control": "\t" in shown,
            "ambiguous": shown in ("1,234", "03/04/2026"),
        }
        assert wanted[reason], (name, number, column, shown)
