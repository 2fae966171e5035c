"""The engine's reading of CSV and Python's: the same rows wherever the engine accepts a file."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from models.errors import SourceFileError
from pipelines import warehouse
from pipelines.reading.delimited import DelimitedFile, open_delimited
from pipelines.reading.finding import Candidate, unpack
from pipelines.reading.tables import Kept, literal
from pipelines.settings import Source
from tests.pipelines.intake.small_shop import SKUS, renamed

CELLS = st.lists(st.sampled_from(["a", "b", " ", '"', ";", ",", "\n", "\r\n", "\r", "é", "'", "\x1a"]), max_size=4).map(
    "".join
)


def quoted(cell: str) -> str:
    needs = any(mark in cell for mark in '",;\n\r') or cell != cell.strip()
    return '"' + cell.replace('"', '""') + '"' if needs else cell


WELL_FORMED = st.tuples(
    st.lists(st.lists(CELLS.map(quoted), min_size=3, max_size=3), max_size=6),
    st.sampled_from(["\n", "\r\n"]),
    st.sampled_from(["", "\ufeff"]),
).map(lambda parts: parts[1].join([parts[2] + "x,y,z", *(",".join(row) for row in parts[0])]) + parts[1])
SCRIBBLED = st.lists(st.sampled_from([*'ab,"\n ;', "\r\n", "é"]), min_size=1, max_size=40).map(
    lambda marks: "x,y,z\n" + "".join(marks)
)


def opened(path: Path, text: str) -> DelimitedFile:
    path.write_bytes(text.encode())
    return open_delimited(path, unpack(Candidate(path, None, path.name, ()), path.parent), SKUS)


def copied(connection: warehouse.Connection, table: DelimitedFile, target: Path) -> list[tuple[str | None, ...]]:
    kept = [Kept(header, place) for place, header in enumerate(table.headers)]
    table.copy(connection, kept, target)
    trimmed = ", ".join(f"trim(coalesce({name}, ''), ' ')" for name in ("c0", "c1", "c2"))
    return connection.execute(f'select {trimmed}, "»fault" from read_parquet({literal(str(target))})').fetchall()


def test_both_readings_agree(tmp_path: Path) -> None:
    with warehouse.scratch() as connection:

        @given(st.one_of(WELL_FORMED, SCRIBBLED))
        @settings(derandomize=True, deadline=None, max_examples=600)
        @example('x,y,z\n1,"a\nb",3\n\n4,5,6')
        @example("x,y,z\n1,2,3\r\n4,5,6\n")
        @example("x,y,z\n1,2,3\r\n4,5,6\r\n")
        @example("x,y,z\r\n1,2,3\n4,5,6\n")
        @example("x,y,z\r1,2,3\r4,5,6\r")
        @example('x,y,z\n1, "2",3\n')
        def agree(text: str) -> None:
            try:
                table = opened(tmp_path / "t.csv", text)
            except SourceFileError:
                return
            if not table.is_plain:
                return
            try:
                connection.execute(f"create or replace temp table fast as {table._selected(_kept(table))}")
            except warehouse.EngineError:
                return
            trimmed = ", ".join(f"trim(coalesce({name}, ''), ' ')" for name in ("c0", "c1", "c2"))
            fast = connection.execute(f"select {trimmed} from fast").fetchall()
            told = [tuple((cell or "").strip(" ") for cell in row.cells) for row in table._told(_kept(table))]
            assert fast == told

        agree()


def _kept(table: DelimitedFile) -> list[Kept]:
    return [Kept(header, place) for place, header in enumerate(table.headers)]


def test_ragged_rows_are_told_apart_from_the_others(tmp_path: Path) -> None:
    table = opened(tmp_path / "t.csv", "x,y,z\n1,2,3\n4,5\n6,7,8,9\n10,11,12\n")
    with warehouse.scratch() as connection:
        rows = copied(connection, table, tmp_path / "t.parquet")
    assert rows == [
        ("1", "2", "3", None),
        ("", "", "", "has 2 of 3 cells"),
        ("", "", "", "has 4 cells where the header has 3"),
        ("10", "11", "12", None),
    ]


def test_a_badly_quoted_row_costs_only_itself(tmp_path: Path) -> None:
    table = opened(tmp_path / "t.csv", 'x,y,z\n1,"2"b,3\n4,5,6\n')
    with warehouse.scratch() as connection:
        rows = copied(connection, table, tmp_path / "t.parquet")
    assert rows == [("", "", "", "has text after a closing quote"), ("4", "5", "6", None)]


def test_of_a_ragged_row_nothing_is_told_that_may_have_slipped_from_another_column(tmp_path: Path) -> None:
    table = opened(tmp_path / "t.csv", "sku,kind,buyer,shelf,row\na,b,Jo Example,c,d,e\na,b,Jo Example,d\n")
    kept = [Kept(name, table.headers.index(name)) for name in ("sku", "kind", "shelf", "row")]
    told = [row.as_found for row in table._told(kept)]
    assert told == ["a | b | … | … | d | e", "a | … | … | d"]


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        ("x,y,z\n1,2,3\n4,5,6\n", {1: 2, 2: 3}),
        ("\n\nx,y,z\n1,2,3\n4,5,6", {1: 4, 2: 5}),
        ('x,y,z\n1,"a\nb",3\n4,5,6\n', {1: 2, 2: 4}),
        ("x,y,z\n\n1,2,3\n\n\n4,5,6\n", {1: 3, 2: 6}),
    ],
)
def test_lines_of_rows(tmp_path: Path, text: str, lines: dict[int, int]) -> None:
    table = opened(tmp_path / "t.csv", text)
    assert table.lines_of({1, 2}) == lines
    shift = table.line_shift(2)
    assert shift is None or {1: 1 + shift, 2: 2 + shift} == lines


def test_without_a_header_columns_are_named_by_place(tmp_path: Path) -> None:
    path = tmp_path / "t.csv"
    path.write_text("a,b\nc,d\n")
    bare: Source = renamed(SKUS, header=False)
    table = open_delimited(path, unpack(Candidate(path, None, path.name, ()), tmp_path), bare)
    assert (table.headers, table.rows) == (("1", "2"), (("a", "b"), ("c", "d")))
    with warehouse.scratch() as connection:
        table.copy(connection, [Kept("2", 1)], tmp_path / "t.parquet")
        found = connection.execute(f"select c0 from read_parquet('{tmp_path / 't.parquet'}')").fetchall()
    assert found == [("b",), ("d",)]
