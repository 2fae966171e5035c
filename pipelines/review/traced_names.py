"""What can be traced, by each name under which a reader meets it: the table, its last word, the title and the id of a
part of the page that shows it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from difflib import get_close_matches

from models.errors import NotFoundError
from models.tables import TABLES

MOST_NEAR = 5
# How near a name must come to what was asked for, 0 to 1 (by trial; no source).
NEAR = 0.5


def table_named(asked: str) -> str:
    """The table that is meant. Raises NotFoundError, with the nearest names, where none or several are."""
    if asked in TABLES and TABLES[asked].made_from:
        return asked
    names = _names()
    found = sorted(names.get(_folded(asked), ()))
    if len(found) == 1:
        return found[0]
    what = (
        f"is the name of {len(found)} tables" if found else "is not a table or a title of the page that can be traced"
    )
    near = found or list(_near(asked, names))
    listed = f"try {', '.join(near)}; " if near else ""
    raise NotFoundError(asked, what, "this trace", f"{listed}`dunnage trace` alone lists all")


def titles() -> Mapping[str, Sequence[str]]:
    """Each table that can be traced, with the titles of the page's parts that show it."""
    found: dict[str, list[str]] = {name: [] for name, contract in TABLES.items() if contract.made_from}
    for table, title, _ in _parts():
        if title not in found[table]:
            found[table].append(title)
    return found


def _parts() -> Iterator[tuple[str, str, str]]:
    """Table, title and id of each part of the page whose table can be traced."""
    from dashboards.sections import all_sections

    for section in all_sections():
        for part in section.parts:
            if part.table in TABLES and TABLES[part.table].made_from:
                yield part.table, part.title, part.name


def _names() -> dict[str, set[str]]:
    """Every name, folded, with the tables that it may mean. What the page says goes before the last word of a table."""
    shown, own = defaultdict[str, set[str]](set), defaultdict[str, set[str]](set)
    for table, title, id in _parts():
        shown[_folded(title)].add(table)
        shown[_folded(id)].add(table)
    for table in titles():
        own[_folded(table)].add(table)
        own[_folded(table.rpartition(".")[2])].add(table)
    return {**own, **shown}


def _near(asked: str, names: Mapping[str, set[str]]) -> Iterator[str]:
    """The tables whose names hold what was asked for or come near it, the nearest first, each once."""
    holding = [name for name in names if _folded(asked) in name]
    near = get_close_matches(_folded(asked), [name for name in names if name not in holding], MOST_NEAR, NEAR)
    tables = (table for name in (*holding, *near) for table in sorted(names[name]))
    yield from list(dict.fromkeys(tables))[:MOST_NEAR]


def _folded(name: str) -> str:
    """Letters and figures alone, so that neither case nor marks part a title from the same one as it is typed."""
    return " ".join("".join(sign if sign.isalnum() else " " for sign in name.casefold()).split())
