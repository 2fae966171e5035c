"""Draws in DEVELOPERS.md what reads what, as the SQL itself, the analyses and the page's sections say.

`python -m tests.drawings.drawing` writes both drawings anew; tests/drawings/test_drawings.py holds the file to them.
Mermaid is text that code hosts show as a picture, and that reads well enough without one. An arrow that another way
leads along anyway is left out.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Set
from graphlib import TopologicalSorter
from pathlib import Path

from dashboards.review_tables import Records
from dashboards.sections import all_sections
from dashboards.sentences import entries
from models.analyses import ANALYSES
from models.plain_rows import are_rows
from models.tables.rating import RATING
from pipelines.build.sql_models import models

FILE = Path(__file__).parents[2] / "DEVELOPERS.md"
PART = re.compile(r"(<!-- drawing: (?P<name>[a-z ]+) -->\n+```mermaid\n).*?(```\n)", re.DOTALL)
Reads = Mapping[str, Set[str]]


def reads() -> dict[str, frozenset[str]]:
    """Each table of a model or an analysis, and each section of the page, with the tables that it is made from."""
    found = {name: model.references for name, model in models().items()}
    for analysis in ANALYSES:
        found |= {name: frozenset({*analysis.reads, *analysis.may_read}) for name in analysis.writes}
    for section in all_sections():
        asked = (entries()[id].is_true(Records(tables={})) for id in section.points)
        stated = {rows.attrs["table"] for rows in asked if are_rows(rows)}
        found[f"page.{section.name}"] = frozenset({*stated, *(part.table for part in section.parts)})
    return found


def longest_chain() -> list[str]:
    """The longest way from a record to something shown."""
    found = reads()
    ways: dict[str, list[str]] = {}
    for name in TopologicalSorter(found).static_order():
        ways[name] = [*max((ways[each] for each in sorted(found.get(name, ()))), key=len, default=[]), name]
    return max(ways.values(), key=len)


def rating_chain() -> str:
    """The tables of the rating; those of the tariff, which most of them read, are left out."""
    inside = {str(contract.name) for contract in RATING}
    found = {name: set(model.references) for name, model in models().items() if name in inside}
    return _drawn("TD", {name: {each for each in read if not each.startswith("shop.")} for name, read in found.items()})


def record_to_page() -> str:
    """Records, marts, analyses and sections of the page. What lies between records and marts is passed through."""
    found = reads()
    known = {*found, *(each for read in found.values() for each in read)}
    shown = {name for name in known if name.startswith(("marts.", "analysis.", "page."))}
    drawn: dict[str, set[str]] = {}
    seen = _seen(found, shown)
    for name in shown:
        drawn.setdefault(_place(name), set()).update(map(_place, seen[name]))
    return _drawn("LR", {name: read - {name} for name, read in drawn.items()})


def _place(name: str) -> str:
    """Where a table stands in the drawing: records stand together, and the tables of one analysis; else by its name."""
    if name.startswith("accepted."):
        return "records"
    writer = next((each.name for each in ANALYSES if name in each.writes), "")
    return f"analysis: {writer}" if writer else name


def _behind(found: Reads) -> dict[str, set[str]]:
    """Each table with all that it is made from, directly or through others."""
    behind: dict[str, set[str]] = {}
    for name in TopologicalSorter(found).static_order():
        read = found.get(name, set())
        behind[name] = {*read, *(before for each in read for before in behind[each])}
    return behind


def _seen(found: Reads, shown: Set[str]) -> dict[str, set[str]]:
    """Each table with the records and shown tables that it is made from, directly or through what is not shown."""
    seen: dict[str, set[str]] = {}
    for name in TopologicalSorter(found).static_order():
        seen[name] = set()
        for each in found.get(name, ()):
            is_end = each in shown or each.startswith("accepted.")
            seen[name] |= {each} if is_end else seen[each]
    return seen


def _drawn(direction: str, found: Reads) -> str:
    behind = _behind(found)
    needed = {name: set(read) - {before for each in read for before in behind[each]} for name, read in found.items()}
    arrows = sorted((each, name) for name, read in needed.items() for each in read)
    lines = [f"    {_node(start)} --> {_node(end)}" for start, end in arrows]
    return "".join(f"{line}\n" for line in (f"flowchart {direction}", *lines))


def _node(name: str) -> str:
    return f'{re.sub(r"[^a-z_]", "_", name)}["{name}"]'


DRAWINGS = {"from record to page": record_to_page, "rating": rating_chain}


def with_drawings(text: str) -> str:
    """The text with every drawing in it made anew."""
    return PART.sub(lambda found: f"{found[1]}{DRAWINGS[found['name']]()}{found[3]}", text)


if __name__ == "__main__":
    FILE.write_text(with_drawings(FILE.read_text(encoding="utf-8")), encoding="utf-8")
