"""Reads the TOML files that a shop writes itself, and says on which line one cannot be used."""

import re
import sys
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

from models.errors import SettingsError
from models.settings.checking import Mistake, checked, checked_sections
from models.settings.renaming import OldName, renamed
from models.settings.toml_lines import line_of, lines
from models.visible import visible

# A shop's settings take some ten thousand bytes.
MOST_BYTES = 2_000_000
MOST_IN_A_LINE = 20_000
_SAVE = "save it as plain text in UTF-8, without a byte order mark"


def read_toml(path: Path, affected: str) -> tuple[str, dict[str, Any]]:
    """The file's text and what it states. Raises SettingsError with the line that is wrong."""
    text = _text(path, affected)
    for number, line in enumerate(text.split("\n"), start=1):
        if len(line) > MOST_IN_A_LINE:
            raise _wrong(path, number, f"has {len(line):,} characters", affected, "break it into several lines")
    try:
        return text, tomllib.loads(text)
    except tomllib.TOMLDecodeError as broken:
        raise _wrong(path, _line(broken, text), f"is not valid TOML: {broken}", affected, "correct that line") from None
    except RecursionError:
        number = _deepest(text)
        raise _wrong(path, number, "has too many brackets in brackets", affected, "close them, or remove it") from None
    except ValueError:  # Python reads no number of so many digits
        digits = re.search(r"\d[\d_]{4000}", text)
        number = text.count("\n", 0, digits.start()) + 1 if digits else 1
        raise _wrong(path, number, "has a number of thousands of digits", affected, "correct that line") from None


def _text(path: Path, affected: str) -> str:
    if not path.is_file():
        raise SettingsError(str(path), "is not a file", affected, "move it away, then run `dunnage init`")
    if path.stat().st_size > MOST_BYTES:
        what = f"has {path.stat().st_size:,} bytes, too many for settings"
        raise _wrong(path, 1, what, affected, "look at what it is; settings are a short text")
    written = path.read_bytes()
    try:
        text = written.decode("utf-8")
    except UnicodeDecodeError as broken:
        number = written.count(b"\n", 0, broken.start) + 1
        raise _wrong(path, number, f"byte {broken.start:,} is not UTF-8 text", affected, _SAVE) from None
    if text.startswith("\ufeff"):
        raise _wrong(path, 1, "begins with a byte order mark", affected, _SAVE)
    return text


def _wrong(path: Path, line: int, what: str, affected: str, next_step: str) -> SettingsError:
    return SettingsError(f"{path}, line {line}", what, affected, next_step)


def _line(broken: tomllib.TOMLDecodeError, text: str) -> int:
    """tomllib says it in its message only; at the end of the document it says no number."""
    found = re.search(r"at line (\d+)", str(broken))
    return int(found[1]) if found else text.rstrip("\n").count("\n") + 1


def _deepest(text: str) -> int:
    """The line on which brackets first stand in fifty others."""
    depth, number = 0, 1
    for mark in text:
        depth += (mark in "[{") - (mark in "]}")
        number += mark == "\n"
        if depth > 50:
            break
    return number


def read_sections(path: Path, kinds: Mapping[str, Any], affected: str) -> dict[str, Any]:
    """What a file states, by name of section; `kinds` says what each may be. Raises SettingsError.

    kinds: name -> a Section, or a type made of sections. Sections that the file leaves out are left out.
    """
    text, stated = read_toml(path, affected)
    old_names = renamed(stated)
    values, mistakes = checked_sections(kinds, stated)
    mistakes = [_as_written(each, old_names) for each in mistakes]
    mistakes += [_doubled(name, affected) for name in old_names if name.is_doubled]
    if mistakes:
        raise _refusal(path, text, mistakes)
    for each in old_names:
        _note(f"{path}: [{each.section}] {each.old} is now named {each.present}; the old name is still read")
    return values


def _as_written(mistake: Mistake, old_names: Sequence[OldName]) -> Mistake:
    """The mistake at the place where the file states it, which may be under an old name."""
    for each in old_names:
        if mistake.place[:2] == (each.section, each.present) and not each.is_doubled:
            return replace(mistake, place=(each.section, each.old, *mistake.place[2:]))
    return mistake


def _doubled(name: OldName, affected: str) -> Mistake:
    what = f"{name.old} is the old name of {name.present}, which is stated too"
    return Mistake((name.section, name.old), what, affected, f"remove {name.old}")


@cache
def _note(text: str) -> None:
    """Print a note, once in a run however often the file is read."""
    print(visible(text), file=sys.stderr)


def stated_as(kind: Any, stated: object, where: str) -> Any:
    """`stated` as an instance of a section, where it stands in no TOML file. Raises SettingsError."""
    found, mistakes = checked(kind, stated)
    if mistakes:
        raise SettingsError(where, mistakes[0].what, mistakes[0].affected, mistakes[0].next_step)
    return found


def _refusal(path: Path, text: str, mistakes: Sequence[Mistake]) -> SettingsError:
    """The error for the first mistake in the file; the lines of the others are named."""
    places = lines(text)
    placed = sorted(((line_of(places, each.place) or 1, each) for each in mistakes), key=lambda pair: pair[0])
    line, first = placed[0]
    heading = f" [{first.place[0]}]" if len(first.place) > 1 else ""
    what = "; ".join(dict.fromkeys(each.what for at, each in placed if at == line))
    others = sorted({at for at, _ in placed} - {line})
    also = f". Also wrong: line {', '.join(map(str, others[:8]))}{', ...' if others[8:] else ''}" if others else ""
    return SettingsError(f"{path}, line {line}{heading}", what + also, first.affected, first.next_step)
