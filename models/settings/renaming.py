"""Settings that had another name once: they are still read under it."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

# Section -> old name -> present name.
RENAMED: Mapping[str, Mapping[str, str]] = {
    "schedule": {"tell_after_hours": "alert_after_hours"},
    "damage": {"least_claims": "min_claims", "least_parcels": "min_parcels"},
    "cartons": {
        "fixed_cents_a_month": "fixed_cents_per_month",
        "take_up_cents": "new_size_cents",
        "most_candidates": "max_candidates",
    },
    "reading": {"most_columns": "max_columns", "most_blank_rows": "max_blank_rows"},
}


@dataclass(frozen=True)
class OldName:
    """A setting stated under its old name; is_doubled: under the present one, too."""

    section: str
    old: str
    present: str
    is_doubled: bool


def renamed(stated: dict[str, Any]) -> list[OldName]:
    """Move what a document states under old names to the present ones; returns what was found under old names."""
    found = list(_old_names(stated))
    for each in found:
        value = stated[each.section].pop(each.old)
        stated[each.section].setdefault(each.present, value)
    return found


def _old_names(stated: Mapping[str, Any]) -> Iterator[OldName]:
    for section, names in RENAMED.items():
        table = stated.get(section)
        for old, present in names.items():
            if isinstance(table, dict) and old in table:
                yield OldName(section, old, present, present in table)
