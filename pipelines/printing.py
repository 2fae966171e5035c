"""Rows on a terminal."""

from __future__ import annotations

import pandas as pd
from rich.table import Table
from rich.text import Text


def rows(title: str, frame: pd.DataFrame) -> Table:
    """A plain table of a frame; cells are text, never markup. Money stays in cents as the column's name says."""
    table = Table(title=title, title_justify="left", show_edge=False, pad_edge=False)
    numeric = [pd.api.types.is_numeric_dtype(kind) for kind in frame.dtypes]
    for name, is_number in zip(frame.columns, numeric, strict=True):
        table.add_column(Text(str(name)), justify="right" if is_number else "left", overflow="fold")
    for values in frame.itertuples(index=False):
        table.add_row(*(Text(_cell(value)) for value in values))
    return table


def _cell(value: object) -> str:
    if value is None or value is pd.NA or (isinstance(value, float) and value != value) or value is pd.NaT:
        return ""
    if isinstance(value, pd.Timestamp):
        return str(value.strftime("%Y-%m-%d" if value == value.normalize() else "%Y-%m-%d %H:%M"))
    if isinstance(value, float):
        return f"{value:g}"
    return str(value)


def record(title: str, frame: pd.DataFrame) -> Table:
    """A frame of one row, upright: a line for each column that is known."""
    table = Table(title=title, title_justify="left", show_edge=False, pad_edge=False, show_header=False)
    for name, value in frame.iloc[0].items():
        if _cell(value):
            table.add_row(Text(str(name)), Text(_cell(value)))
    return table


def either(title: str, frame: pd.DataFrame) -> Table:
    """A single row upright, several as a table."""
    return record(title, frame) if len(frame) == 1 else rows(title, frame)
