"""Holds what a TOML file states to the sections' types, and says in plain words what is wrong with it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields, is_dataclass
from functools import cache
from typing import TYPE_CHECKING, Any, get_args, get_origin, get_type_hints

from pydantic import TypeAdapter, ValidationError

from models.settings.sections import as_stated, both_names, bound_as_stated
from models.settings.types import RefusedError, Section, nearest, shown, shown_name

if TYPE_CHECKING:
    from pydantic_core import ErrorDetails

Place = tuple[str | int, ...]
# The way from the top of the document to a setting: ("source", 0, "columns", "zone").


@dataclass(frozen=True)
class Mistake:
    """One thing that is wrong, and where in the document it stands."""

    place: Place
    what: str
    affected: str
    next_step: str


def checked(kind: Any, stated: object, place: Place = ()) -> tuple[Any, list[Mistake]]:
    """`stated` as an instance of `kind` (a Section, or a type made of sections), or None and what is wrong with it."""
    try:
        return _adapter(kind).validate_python(stated), []
    except ValidationError as wrong:
        found = wrong.errors(include_url=False)
        return None, [_mistake(kind, each, place, stated) for each in found]


def checked_sections(kinds: Mapping[str, Any], stated: Mapping[str, Any]) -> tuple[dict[str, Any], list[Mistake]]:
    """Each top-level section of a document that is stated, by name, and all that is wrong in the whole document."""
    values: dict[str, Any] = {}
    mistakes = [_unknown((name,), kinds, "the whole file; nothing was read") for name in stated if name not in kinds]
    for name in stated:
        if name in kinds:
            values[name], wrong = checked(kinds[name], stated[name], (name,))
            mistakes += wrong
    return values, mistakes


@cache
def _adapter(kind: Any) -> TypeAdapter[Any]:
    return TypeAdapter(kind)


def _mistake(kind: Any, error: ErrorDetails, place: Place, stated: object) -> Mistake:
    loc, written = _as_stated(stated, error["loc"])
    whole = (*place, *loc)
    sections = list(_sections(kind, error["loc"]))
    affected = sections[-1].affected if sections else Section.affected
    if error["type"] == "unexpected_keyword_argument":
        return _unknown(whole, both_names([each.name for each in fields(sections[-1])]), affected)
    if error["type"] == "missing":
        return Mistake(whole, f"lacks {_name(whole)}", affected, "state it")
    refused = error.get("ctx", {}).get("error")
    if isinstance(refused, RefusedError) and refused.at:
        return Mistake((*whole, *refused.at), refused.phrase, affected, refused.next_step)
    phrase, next_step = _phrase(error, str(loc[-1]) if loc else "")
    value = error["input"] if loc == error["loc"] else written
    subject = _name(whole) if isinstance(value, dict | list) else f"{_name(whole)} = {shown(value)}"
    return Mistake(whole, f"{subject} {phrase}", affected, next_step)


def _as_stated(stated: object, loc: Place) -> tuple[Place, Any]:
    """The place as the file writes it, where a measure is stated under its metric name, and what stands there."""
    found: list[str | int] = []
    table: Any = stated
    for part in loc:
        found.append(as_stated(part, table) if isinstance(part, str) else part)
        try:
            table = table[found[-1]]
        except (KeyError, IndexError, TypeError):
            table = None
    return tuple(found), table


def _unknown(place: Place, known: Any, affected: str) -> Mistake:
    return Mistake(place, f"unknown setting {_name(place)}", affected, nearest(str(place[-1]), known))


def _sections(kind: Any, place: Place) -> Iterator[Any]:
    """The sections that a place leads through."""
    if is_dataclass(kind):
        yield kind
        inner = get_type_hints(kind).get(str(place[0])) if place else None
        if inner is not None:
            yield from _sections(inner, place[1:])
    elif get_origin(kind) is not None and get_args(kind):
        is_annotated = hasattr(kind, "__metadata__")
        inner = next(arg for arg in (get_args(kind) if is_annotated else reversed(get_args(kind))) if arg is not ...)
        yield from _sections(inner, place if is_annotated else place[1:])


def _phrase(error: ErrorDetails, name: str) -> tuple[str, str]:
    """What to say of a value after its name, and what to do."""
    context = error.get("ctx", {})
    if isinstance(context.get("error"), RefusedError):
        return context["error"].phrase, context["error"].next_step
    if error["type"] in _TYPES:
        return _TYPES[error["type"]]
    for bound, (phrase, next_step) in _BOUNDS.items():
        if bound in context:
            return phrase, next_step.format(bound_as_stated(name, context[bound]))
    return f"cannot be used ({error['msg']})", "correct that value"


_TYPES = {
    "int_type": ("is not a whole number", "write digits only, without quotes"),
    "float_type": ("is not a number", "write digits and a point only, without quotes"),
    "finite_number": ("is not a finite number", "write digits and a point only"),
    "string_type": ("is not text", "put it in quotes"),
    "bool_type": ("is neither true nor false", "write true or false, without quotes"),
    "list_type": ("is not a list", 'write ["...", "..."]'),
    "date_type": ("is not a date", "write it as 2026-03-01, without quotes"),
    "tuple_type": ("is not a list of tables", "write its name in double brackets above each, as in [[source]]"),
    "dict_type": ("is not a table", "write its name in brackets above its settings, as in [shop]"),
    "mapping_type": ("is not a table", "write its name in brackets above its settings, as in [shop]"),
    "dataclass_type": ("is not a table", "write its name in brackets above its settings, as in [shop]"),
}
_BOUNDS = {
    "ge": ("is too small", "state at least {}"),
    "gt": ("is too small", "state more than {}"),
    "le": ("is too large", "state at most {}"),
    "lt": ("is too large", "state less than {}"),
    "min_length": ("is empty", "state it, or remove the line"),
    "max_length": ("is too long", "state at most {} of them (letters, or entries of a list)"),
}


def _name(place: Place) -> str:
    """The setting as its reader wrote it: its last name, and the number of the entry in a list."""
    names = [str(part) for part in place if isinstance(part, str)]
    last = names[-1] if names else "the file"
    plain = shown_name(last)
    return f"{plain}, entry {place[-1] + 1}" if place and isinstance(place[-1], int) else plain
