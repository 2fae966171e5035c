"""What the user has answered of a file beside its columns: units, marks, words, columns to leave out."""

import shlex
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from models.cells.texts import units_of
from models.column_map.pairing import Pairing
from models.column_map.sample_values import allowed_words
from models.errors import ColumnMapError
from models.fields import Quantity
from models.reference import RECORDS


def as_words(option: str, answer: str) -> list[str]:
    """An option such as `--unit weight_lb={}`, with its answer in the place of `{}`, as words of a command line."""
    flag, _, value = option.partition(" ")
    return [flag, value.replace("{}", answer)]


def as_typed(option: str, answer: str) -> str:
    """The same as it is typed in a shell."""
    flag, value = as_words(option, answer)
    return f"{flag} {shlex.quote(value)}"


@dataclass(frozen=True)
class Answers:
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
        """The pairing with what was answered of its column."""
        unit = self.units.get(pairing.column, pairing.unit)
        values = {**pairing.values, **self.words.get(pairing.column, {})}
        found = replace(pairing, unit=unit, values=values, is_unit_right=pairing.column in self.right_units)
        return replace(found, doubts=(), is_sure=True) if self.takes_proposed else found

    def refuse_unknown(self, kind: str, affected: str) -> None:
        """Raises ColumnMapError for a column, unit or word that the kind of record does not know."""
        columns = RECORDS[kind].columns
        named = dict.fromkeys((*self.units, *self.words, *sorted(self.without), *sorted(self.right_units)))
        if strange := [name for name in named if name not in columns]:
            what = f"is no column of {kind}" if len(strange) == 1 else f"are no columns of {kind}"
            raise ColumnMapError(", ".join(strange), what, affected, f"see `dunnage records {kind}`")
        for name, unit in self.units.items():
            refuse_unknown_unit(name, unit, columns[name].quantity, affected)
        for name, words in self.words.items():
            listed = allowed_words(columns[name]) or (("yes", "no") if columns[name].quantity is Quantity.FLAG else ())
            if wrong := [meaning for meaning in words.values() if listed and meaning not in listed]:
                what = f"is no word of {name}" if len(wrong) == 1 else f"are no words of {name}"
                raise ColumnMapError(", ".join(wrong), what, affected, f"use one of {', '.join(listed)}")


def refuse_unknown_unit(name: str, unit: str | None, wanted: Quantity, affected: str) -> None:
    """Raises ColumnMapError for a unit in which a column's cells are never written."""
    known = units_of(wanted)
    if unit is not None and unit not in known:
        listed = ", ".join(each for each in known if each.isalpha() and each.islower()) or "none"
        raise ColumnMapError(unit, f"is no unit of {name}", affected, f"use one of {listed}")


NOTHING = Answers()
"""Where the user was not asked yet."""
