"""The key of a kind of record, in SQL. A part of it that may be unknown is a value like any other: two rows without a
sale line are of one key.
"""

from collections.abc import Collection

from models.reference import RECORDS


def key_text(kind: str, unread: Collection[str] = (), *, is_marked: bool = True) -> str:
    """The key as a JSON list; null where a part that every row needs is not known, or one is among `unread`."""
    columns, schema = RECORDS[kind].key, RECORDS[kind]
    known = [f"{name} is not null" for name in columns if not (is_marked and schema.columns[name].nullable)]
    known += [f"unread_{name} is null" for name in columns if name in unread]
    listed = ", ".join(f"cast({name} as varchar)" for name in columns)
    return f"case when {' and '.join(known)} then cast(json_array({listed}) as varchar) end"


def same_key(kind: str, one: str, other: str) -> str:
    """Whether a row of each of two tables, by their names in the statement, have the same key."""
    columns = RECORDS[kind].columns
    return " and ".join(
        f"{one}.{name} {'is not distinct from' if columns[name].nullable else '='} {other}.{name}"
        for name in RECORDS[kind].key
    )
