"""The proof that a file is plain: no quick look passes over what the slow one finds, wherever its blocks are cut."""

from __future__ import annotations

from pathlib import Path
from unittest.mock import patch

import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from models.errors import SourceFileError
from pipelines.intake.reading import plain_proof
from pipelines.intake.reading.line_cells import Marks
from pipelines.intake.reading.suspects import Suspects
from tests.sampling import tries

MARKS = (Marks(","), Marks(";", ""), Marks("\t", "'"))
HEADERS = (("Order", "kind", "qty"), ("x", "y", "z"), ("Summer", "y", "z"))
BEGINS = st.sampled_from(
    ["", " ", "@", '"', "'", ",", ";", "T", "to", "TOTAL", "Sum", "sum total", "Som", "order", "x"]
)
LINES = st.lists(
    st.tuples(BEGINS, st.sampled_from(["", ",", ";;", ",kind,qty", ",y,z", '"', ": 4", "mer,1,2", "\r"])).map("".join),
    max_size=5,
).map("\n".join)
TEXTS = st.tuples(LINES, st.sampled_from(["", "\n"])).map("".join)


@given(TEXTS, st.sampled_from(MARKS), st.sampled_from(HEADERS))
@settings(derandomize=True, deadline=None, max_examples=tries(200))
@example("", MARKS[0], HEADERS[0])
@example("a,b\nsu", MARKS[0], HEADERS[0])
@example('1,2,3\n"Total",4,5', MARKS[0], HEADERS[0])
def test_a_suspect_row_is_found_by_how_its_line_begins(text: str, marks: Marks, headers: tuple[str, ...]) -> None:
    block = text.encode()
    # What opens a quote and does not end it is found before.
    assume(not marks.quote or plain_proof._is_well_quoted(block, marks))
    suspects = Suspects(marks, headers)
    assert suspects.are_in(block) == bool(block and suspects._pattern.search(block))


def test_where_blocks_are_cut_proves_nothing_else(tmp_path: Path) -> None:
    path = tmp_path / "t.csv"

    def proven(size: int) -> plain_proof.Plainness | None:
        with patch.object(plain_proof, "_BLOCK", size):
            found = plain_proof.looked_through(path, path.name, MARKS[0], 1_000, 1, HEADERS[1])
        return found if found.is_plain else None

    @given(TEXTS, st.integers(1, 9))
    @settings(derandomize=True, deadline=None, max_examples=tries(150))
    @example('1,"2",3\n4,"5,6",7\n', 4)
    @example("1,2,3\nx,y,z\n", 3)
    @example("1,2,3\n4,5,a@b\n", 3)
    def agree(text: str, size: int) -> None:
        path.write_bytes(b"x,y,z\n" + text.encode())
        found = proven(size)
        assert found == proven(1 << 18)
        assert found is None or found.may_have_mail == ("@" in text)

    agree()


def test_a_line_without_end_is_given_up_at_its_limit(tmp_path: Path) -> None:
    path = tmp_path / "t.csv"
    path.write_bytes(b"x,y,z\n1,2,3\n" + b"a" * 2_000_000)
    with pytest.raises(SourceFileError, match="line 3 is longer than 100,000 characters"):
        plain_proof.looked_through(path, path.name, MARKS[0], 100_000, 1, HEADERS[1])
