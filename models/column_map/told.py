"""What the user has told of a file beside its columns: units, marks, words, columns to leave out."""

from __future__ import annotations

import shlex
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from models.column_map.pairing import Pairing


def as_words(option: str, answer: str) -> list[str]:
    """An option such as `--unit weight_lb={}`, with its answer in the place of `{}`, as words of a command line."""
    flag, _, value = option.partition(" ")
    return [flag, value.replace("{}", answer)]


def as_typed(option: str, answer: str) -> str:
    """The same as it is typed in a shell."""
    flag, value = as_words(option, answer)
    return f"{flag} {shlex.quote(value)}"


@dataclass(frozen=True)
class Told:
    """units: contract column -> unit. words: contract column -> cell text -> word of its closed list.

    without: contract columns that stay empty. right_units: those whose unit is not doubted.
    takes_proposed: headers that only come near and words that are only guessed are taken as they are proposed.
    """

    units: Mapping[str, str] = field(default_factory=dict)
    decimal: str | None = None
    date_order: str | None = None
    words: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    without: frozenset[str] = frozenset()
    right_units: frozenset[str] = frozenset()
    takes_proposed: bool = False

    def applied(self, pairing: Pairing) -> Pairing:
        """The pairing with what was told of its column."""
        unit = self.units.get(pairing.column, pairing.unit)
        values = {**pairing.values, **self.words.get(pairing.column, {})}
        found = replace(pairing, unit=unit, values=values, is_unit_right=pairing.column in self.right_units)
        return replace(found, doubts=(), is_sure=True) if self.takes_proposed else found


NOTHING = Told()
"""Where the user was not asked yet."""
