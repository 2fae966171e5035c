"""What `dunnage map` makes of a layout, held against what the layout says its headers are.

`python -m tests.pipelines.intake.layouts.measured` prints both halves.
"""

from __future__ import annotations

import csv
import io
import statistics
import sys
from collections.abc import Iterable
from dataclasses import dataclass

from models.column_map import Pairing, Sample, nearest_kind, propose
from models.column_map.headers import stated_unit
from models.privacy import personal_columns
from models.reference import RECORDS
from tests.pipelines.intake.layouts import LAYOUTS, Header, Layout, is_held_out
from tests.pipelines.intake.layouts.rendered import rendered


@dataclass(frozen=True)
class Judged:
    """One layout: columns it has, those found right, those found right without a question, wrong ones without one.

    settings: what the shop must state by hand before its files can be taken in.
    """

    layout: Layout
    columns: int
    right: int
    unasked: int
    wrong: tuple[str, ...]
    settings: int
    open: tuple[str, ...]


def judged(layout: Layout) -> Judged:
    """The proposal for the layout's files, taken together where there are several."""
    sample = joined(layout)
    personal = personal_columns(sample)
    nearest = nearest_kind(sample, personal)
    kind = nearest.kind if nearest.is_one else None
    proposal = propose(RECORDS[layout.kind], sample, personal)
    wanted = {header.column: header for headers in layout.files.values() for header in headers if header.column}
    right = [pairing for pairing in proposal.pairings if _is_right(pairing, wanted, layout)]
    unasked = [pairing for pairing in right if not pairing.doubts]
    fed = [pairing for pairing in proposal.pairings if pairing.source is not None]
    wrong = [f"{each.column} = {each.source} [{each.unit}]" for each in fed if each not in right and not each.doubts]
    missed = set(wanted) - {pairing.column for pairing in right}
    unsaid = [f"{each.column}: {'; '.join(each.doubts)}" for each in proposal.pairings if each.doubts]
    by_hand = {each.column for each in proposal.pairings if each.doubts} | missed
    return Judged(
        layout,
        len(wanted),
        0 if kind != layout.kind else len(right),
        0 if kind != layout.kind else len(unasked),
        tuple(wrong),
        len(by_hand) + (kind != layout.kind),
        (*(f"missed {name}" for name in sorted(missed)), *unsaid, *((f"kind {kind}",) if kind != layout.kind else ())),
    )


def _is_right(pairing: Pairing, wanted: dict[str, Header], layout: Layout) -> bool:
    header = wanted.get(pairing.column)
    if header is None or pairing.source != header.text:
        return False
    measured = RECORDS[layout.kind].columns[pairing.column].quantity
    unit = pairing.unit or stated_unit(header.text, measured)
    return header.unit is None or unit == header.unit


def joined(layout: Layout) -> Sample:
    """The layout's rows as one table."""
    tables = [_table(content, layout) for content in rendered(layout).values()]
    whole = max(tables, key=lambda table: len(table[1]))
    tables.remove(whole)
    for table in tables:
        whole = _with(whole, table)
    return Sample(tuple(whole[0]), tuple(map(tuple, whole[1][:500])))


Rows = tuple[list[str], list[list[str]]]


def _table(content: bytes, layout: Layout) -> Rows:
    rows = list(csv.reader(io.StringIO(content.decode()), delimiter=layout.delimiter))
    return rows[0], rows[1:]


def _with(left: Rows, right: Rows) -> Rows:
    (key,) = set(left[0]) & set(right[0])
    place = right[0].index(key)
    found = {row[place]: [cell for at, cell in enumerate(row) if at != place] for row in right[1]}
    headers = [*left[0], *(header for header in right[0] if header != key)]
    at = left[0].index(key)
    return headers, [[*row, *found[row[at]]] for row in left[1]]


def summary(layouts: Iterable[Layout]) -> str:
    """Shares of columns right and right without a question, wrong ones, settings by hand."""
    found = [judged(layout) for layout in layouts]
    total = sum(each.columns for each in found)
    settings = sorted(each.settings for each in found)
    return (
        f"{len(found)} layouts, {total} columns: {sum(each.right for each in found) / total:.1%} right, "
        f"{sum(each.unasked for each in found) / total:.1%} without a question, "
        f"{sum(len(each.wrong) for each in found)} wrong without one; settings by hand: "
        f"median {statistics.median(settings):g}, most {settings[-1]}"
    )


def main(more: bool) -> None:
    for name, is_wanted in (("chosen on", False), ("held out", True)):
        print(f"{name}: {summary(each for each in LAYOUTS if is_held_out(each) is is_wanted)}")
    for layout in LAYOUTS:
        if more and not is_held_out(layout):
            found = judged(layout)
            if found.open or found.wrong:
                print(layout.name, "| wrong:", *found.wrong, "| open:", *found.open, sep="\n    ")


if __name__ == "__main__":
    main("-v" in sys.argv)
