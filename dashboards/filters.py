"""Values by which a reader may choose rows, and the codes that stand for them in a page."""

from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from dashboards import formats
from dashboards.pictures.svg_writer import Codes
from models import columns


@dataclass(frozen=True)
class Filter:
    """A choice above rows or pictures. options: (code, text) pairs; a row carries the code of its own value."""

    column: str
    label: str
    options: Sequence[tuple[int, str]]


def codes_of(chosen: Iterable[Mapping[str, Hashable]], order: Sequence[str] = ()) -> Codes:
    """A code per distinct value of each column; a column with one value is no choice.

    chosen: of each row its values by column. order: columns that come first, in this order.
    """
    found: dict[str, set[Hashable]] = {column: set() for column in order}
    for row in chosen:
        for column, value in row.items():
            found.setdefault(column, set()).add(value)
    return {
        column: {value: code for code, value in enumerate(sorted(values, key=str))}
        for column, values in found.items()
        if len(values) > 1
    }


def filter_of(column: str, values: Iterable[Hashable], codes: Codes) -> Filter:
    """The choice among these values."""
    options = [(codes[column][value], formats.plain(value, 40)) for value in values]
    return Filter(column, columns.label(column), options)
