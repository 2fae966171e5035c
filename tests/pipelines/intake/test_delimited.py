"""The engine's reading of CSV and Python's: the same rows wherever the engine accepts a file."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from models.errors import SourceFileError
from models.sql_quoting import literal
from pipelines.intake.reading.delimited import DelimitedFile, open_delimited
from pipelines.intake.reading.finding import Candidate, unpack
from pipelines.intake.reading.shape import Passed
from pipelines.intake.reading.tables import Kept, kept_name
from pipelines.shop import warehouse
from pipelines.shop.settings import ColumnSource, Source
from tests.pipelines.intake.small_shop import SKUS, renamed
from tests.sampling import tries

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
SCRIBBLED = st.lists(st.sampled_from([*"ab,\"\n ;'", "\r\n", "é", "“", "x,y,z", "Total", "1,2,3\n"]), max_size=30).map(
    lambda marks: "x,y,z\n" + "".join(marks)
)
PLAIN = st.lists(st.lists(CELLS.filter(str.isprintable).map(quoted), min_size=3, max_size=3), max_size=6).map(
    lambda rows: "".join(",".join(row) + "\n" for row in [["x", "y", "z"], *rows])
)
TITLED = st.tuples(st.sampled_from(["", "A title\n", "\n\n", "From,,\n"]), PLAIN).map("".join)


BARE = renamed(SKUS, columns={})
NAMED = {"sku": ColumnSource("x"), "item_type": ColumnSource("y")}


def opened(path: Path, text: str, source: Source = BARE) -> DelimitedFile:
    path.write_bytes(text.encode())
    return open_delimited(path, unpack(Candidate(path, None, path.name, ()), path.parent), source)


def copied(connection: warehouse.Connection, table: DelimitedFile, target: Path) -> list[tuple[str | None, ...]]:
    kept = [Kept(header, place) for place, header in enumerate(table.headers)]
    table.copy(connection, kept, target)
    trimmed = ", ".join(f"trim(coalesce({name}, ''), ' ')" for name in ("c0", "c1", "c2"))
    return connection.execute(f'select {trimmed}, "»fault" from read_parquet({literal(str(target))})').fetchall()


def test_both_readings_agree(tmp_path: Path) -> None:
    """Wherever the engine is taken at its word, Python reads the same rows from the same lines and finds no fault."""
    by_engine = []
    with warehouse.scratch() as connection:

        @given(st.one_of(WELL_FORMED, SCRIBBLED, TITLED))
        @settings(derandomize=True, deadline=None, max_examples=tries(600))
        @example('x,y,z\n1,"a\nb",3\n\n4,5,6')
        @example("x,y,z\n1,2,3\r\n4,5,6\n")
        @example("x,y,z\n1,2,3\r\n4,5,6\r\n")
        @example("x,y,z\r\n1,2,3\n4,5,6\n")
        @example("x,y,z\r1,2,3\r4,5,6\r")
        @example('x,y,z\n1, "2",3\n')
        @example('x,y,z\n1,"2,3\n4,5",6\n')
        @example('x,y,z\n"1","2","3"\n"","",""\n"4","""","6"\n')
        @example("x,y,z\n1,2,3\nx,y,z\nTotal,4,\n")
        @example("x,y,z\n1,2,3\n,,\n4,5,6\n")
        @example("x,y,z\n1,2,3\n\nTitle\n4,5,6\n")
        @example("A title\n\nx,y,z\n1,2,3\n")
        @example("x,y,z\n1,2,'a'\n")
        @example("x,y,z\n1,2,3,\n4,5,6,\n")
        @example("x,y,z\n1,2,\n3,,4,\n")
        @example('x,y,z\n1,2,24" tube\n')
        @example('x,y,z\n1,2,"\'""\'"\n')
        def agree(text: str) -> None:
            try:
                table = opened(tmp_path / "t.csv", text, renamed(SKUS, columns=NAMED))
            except SourceFileError:
                return
            proof = table._looked_through()
            target = tmp_path / "t.parquet"
            may_be = table.may_be_plain and table._is_even(proof)
            if not may_be or not table._is_copied(connection, _kept(table), target, proof):
                return
            by_engine.append(text)
            names = ", ".join(f"trim(coalesce({kept_name(at)}, ''), ' ')" for at in range(len(table.headers)))
            fast = connection.execute(f"select {names} from read_parquet({literal(str(target))})").fetchall()
            reported = list(table._reported(_kept(table), passed := Passed()))
            assert fast == [tuple((cell or "").strip(" ") for cell in row.cells) for row in reported]
            assert [row.line for row in reported] == [
                table.line_shift() + number for number in range(1, len(reported) + 1)
            ]
            assert all(row.fault is None and row.as_found is None for row in reported) and passed == Passed()

        agree()
    assert len(by_engine) > tries(50)


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


@pytest.mark.parametrize(
    "text", ['x,y,z\n1,2,3\n"4","5, 6","7"\n', "x,y,z\r\n1,2,O'Brien\r\n", "A title\n\nx,y,z\n1,2,3"]
)
def test_the_engine_reads_plain_files(tmp_path: Path, text: str) -> None:
    table = opened(tmp_path / "t.csv", text, renamed(SKUS, columns=NAMED))
    proof = table._looked_through()
    with warehouse.scratch() as connection:
        assert table._is_even(proof) and table._is_copied(connection, _kept(table), tmp_path / "t.p", proof)


def test_of_a_ragged_row_nothing_is_reported_that_may_have_slipped_from_another_column(tmp_path: Path) -> None:
    table = opened(tmp_path / "t.csv", "sku,kind,buyer,shelf,row\na,b,Jo Example,c,d,e\na,b,Jo Example,d\n")
    kept = [Kept(name, table.headers.index(name)) for name in ("sku", "kind", "shelf", "row")]
    reported = [row.as_found for row in table._reported(kept, Passed())]
    assert reported == ["a,b,…,…,d,e", "a,…,…,d"]


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
    assert {at: row.line for at, row in enumerate(table._reported(_kept(table), Passed()), 1)} == lines


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
