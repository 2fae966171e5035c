"""Plain rows answer as a frame of the same cells does, in all that sentences and listings ask of them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from typing import Any

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.plain_rows import PlainRows, are_rows, as_dicts, is_null, plain
from models.shop_units import METRIC, Units

DAYS = st.one_of(st.none(), st.dates(dt.date(2024, 1, 1), dt.date(2024, 3, 1)))
ROWS = st.lists(
    st.fixed_dictionaries(
        {
            "named": st.sampled_from(["anvil", "bell", None]),
            "cents": st.one_of(st.none(), st.integers(-5, 5)),
            "other_cents": st.one_of(st.none(), st.integers(-5, 5)),
            "on": DAYS,
            "is_open": st.one_of(st.none(), st.booleans()),
            "length_in": st.one_of(st.none(), st.floats(0.5, 90)),
        }
    ),
    min_size=1,
    max_size=8,
)
NAMES = ["named", "cents", "other_cents", "on", "is_open", "length_in"]
TYPES = {"named": "str", "cents": "float64", "other_cents": "float64", "on": "datetime64[us]", "length_in": "float64"}
DAY = dt.datetime(2024, 2, 1)
ASKED: dict[str, Callable[[Any], Any]] = {
    "equal": lambda rows: rows[rows["named"] == "anvil"],
    "unequal": lambda rows: rows[rows["named"] != "anvil"],
    "less": lambda rows: rows[rows["cents"] < 2],
    "at most": lambda rows: rows[rows["cents"] <= rows["other_cents"]],
    "more": lambda rows: rows[rows["cents"] > 0],
    "at least a day": lambda rows: rows[rows["on"] >= DAY],
    "both": lambda rows: rows[(rows["cents"] > 0) & rows["on"].notna()],
    "either": lambda rows: rows[(rows["cents"] > 0) | rows["named"].isna()],
    "not": lambda rows: rows[~rows["named"].isin(["bell"])],
    "flag": lambda rows: rows[rows["is_open"].eq(True)],
    "no flag": lambda rows: rows[rows["is_open"].eq(False)],
    "matched": lambda rows: rows[(rows["cents"] > 0) == True],  # noqa: E712
    "known": lambda rows: rows.dropna(subset=["cents", "named"]),
    "head": lambda rows: rows.head(2),
    "none": lambda rows: rows.iloc[:0],
    "ordered": lambda rows: rows.sort_values("cents", kind="stable"),
    "ordered down": lambda rows: rows.sort_values("cents", ascending=False, na_position="last", kind="stable"),
    "by two": lambda rows: rows.sort_values(["on", "cents"], kind="stable"),
    "by size": lambda rows: rows.sort_values("cents", key=lambda cells: cells.abs(), ascending=False, kind="stable"),
    "without": lambda rows: rows.drop(rows[rows["cents"] > 0].index),
    "chained": lambda rows: rows[rows["cents"] > -3].sort_values("cents", kind="stable").head(3),
    "fewer columns": lambda rows: rows.drop(columns=["on", "cents"]),
    "assigned": lambda rows: rows.assign(is_open=True),
}


def both(cells: list[dict[str, Any]]) -> tuple[Any, Any]:
    return plain(cells, NAMES), pd.DataFrame(cells, columns=NAMES).astype(TYPES)


def written(rows: Any) -> list[tuple[Any, ...]]:
    """Numbers and known cells of the rows, comparable."""
    cells = [[None if is_null(cell) else cell for cell in row.values()] for row in as_dicts(rows)]
    return [(number, *row) for number, row in zip(rows.index, cells, strict=True)]


@pytest.mark.parametrize("asked", ASKED.values(), ids=ASKED.keys())
@given(cells=ROWS)
def test_they_answer_as_a_frame_does(asked: Callable[[Any], Any], cells: list[dict[str, Any]]) -> None:
    rows, frame = both(cells)
    assert written(asked(rows)) == written(asked(frame))


@given(cells=ROWS)
def test_sums_and_tests_of_a_column_are_a_frames(cells: list[dict[str, Any]]) -> None:
    rows, frame = both(cells)
    assert rows["cents"].sum() == frame["cents"].sum()
    assert (rows["cents"] > 0).any() == (frame["cents"] > 0).any()
    assert rows["cents"].isna().all() == frame["cents"].isna().all()
    assert len(rows) == len(frame) and rows.empty == frame.empty and list(rows.columns) == list(frame.columns)


@given(cells=ROWS)
def test_a_metric_shop_sees_the_same_measures(cells: list[dict[str, Any]]) -> None:
    rows, frame = (Units("EUR", METRIC).seen(each) for each in both(cells))
    assert "length_cm" in rows.columns and "length_in" not in rows.columns
    assert written(rows) == written(frame)


@pytest.mark.parametrize("cell", [None, np.nan, float("nan"), pd.NA, pd.NaT, np.datetime64("NaT")])
def test_what_is_null(cell: Any) -> None:
    assert is_null(cell)


@pytest.mark.parametrize("cell", [0, 0.0, False, np.False_, "", "nan", dt.date(2024, 1, 1), pd.Timestamp(0), []])
def test_what_is_known(cell: Any) -> None:
    assert not is_null(cell)


def test_a_column_that_is_not_there_is_a_mistake() -> None:
    with pytest.raises(KeyError, match="other"):
        plain([{"cents": 1}])["other"]
    with pytest.raises(KeyError, match="other"):
        plain([{"cents": 1}]).dropna(subset=["other"])


def test_tables_are_reported_from_answers() -> None:
    assert are_rows(plain([])) and are_rows(pd.DataFrame())
    assert not any(are_rows(each) for each in (True, np.True_, 0))


def test_a_row_is_taken_by_its_place_and_keeps_its_number() -> None:
    rows = plain([{"cents": 1}, {"cents": 2}])
    assert rows[rows["cents"] > 1].index[0] == 1
    assert rows.iloc[1]["cents"] == 2
    assert isinstance(rows, PlainRows)
