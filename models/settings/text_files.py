"""What a source may state of the structure of its text files."""

from dataclasses import dataclass, fields
from typing import Annotated, Any

from pydantic import AfterValidator, Field

from models.settings.types import RefusedError, Section, Words

# Stated for `end_of_table`: the first empty line ends it.
EMPTY_LINE = "(empty line)"


def _mark(mark: str) -> str:
    if len(mark) > 1 or mark.isalnum() or mark in ("\r", "\n", "\0", " "):
        raise RefusedError("is not one mark", "write one character that is no letter, digit or blank, or none")
    return mark


Mark = Annotated[str, AfterValidator(_mark)]


@dataclass(frozen=True, kw_only=True)
class TextStructure(Section):
    """The structure of delimited text.

    quote: None is the double quote, "" none at all. escape: stands before a quote within quotes where quotes are not
    doubled. skip: lines left out above the header. header_rows: rows that the headers stand in. end_of_table: the table
    ends before the line whose first cell says so.
    """

    quote: Mark | None = None
    escape: Mark = ""
    skip: Annotated[int, Field(ge=0, le=1_000_000)] = 0
    header_rows: Annotated[int, Field(ge=1, le=20)] = 1
    end_of_table: Words | None = None


def stated_structure(structure: TextStructure) -> dict[str, Any]:
    """The settings that are not the default."""
    default = TextStructure()
    found = {each.name: getattr(structure, each.name) for each in fields(TextStructure)}
    return {name: value for name, value in found.items() if value != getattr(default, name)}
