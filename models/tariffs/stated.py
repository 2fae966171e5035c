"""A tariff for other programs: its rules and prices as tables of the fields that rating reads, nothing worded."""

from dataclasses import asdict, fields, is_dataclass
from typing import Any

import pandas as pd

from models.tariffs.rules import Tariff

PLACES = {"file", "prices_file", "line"}  # where it was read, which is no term of it
AREAS = "areas"


def stated_tables(tariff: Tariff) -> dict[str, pd.DataFrame]:
    """By name: `tariff`, one row of what holds for all of it, then a table for each kind of rule that it states.

    Amounts in minor units of its currency, measures in thousandths of its own units (`_milli`), shares in millionths;
    what a rule has several of, such as zones or conditions, is a list. None where a rule says nothing.
    """
    single = [each.name for each in fields(tariff) if not _is_rules(getattr(tariff, each.name))]
    rows = {each.name: getattr(tariff, each.name) for each in fields(tariff) if each.name not in single}
    rows[AREAS] = [{"area": area, "codes_begin_with": codes} for area, codes in tariff.areas]
    tables = {"tariff": [{name: getattr(tariff, name) for name in single}], **rows}
    return {name: pd.DataFrame([_row(each) for each in found], dtype=object) for name, found in tables.items() if found}


def _is_rules(value: Any) -> bool:
    return isinstance(value, tuple)


def _row(rule: Any) -> dict[str, Any]:
    cells = asdict(rule) if is_dataclass(rule) and not isinstance(rule, type) else rule
    return {name: _plain(cell) for name, cell in cells.items() if name not in PLACES}


def _plain(cell: Any) -> Any:
    """Lists for tuples, however deep; a rule within a rule keeps the names of its fields."""
    if is_dataclass(cell) and not isinstance(cell, type):
        cell = asdict(cell)
    if isinstance(cell, dict):
        return {name: _plain(each) for name, each in cell.items()}
    if isinstance(cell, list | tuple):
        return [_plain(each) for each in cell]
    return float(cell) if hasattr(cell, "as_tuple") else cell
