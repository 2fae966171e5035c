"""What commands share: the shop that they are for, and the types of their arguments.

What cannot be meant ends the command before it begins, with exit code 2. Every argument that takes a value has one of
these types, or a list of choices; a test walks all commands to hold that. Nothing heavy is imported here, so that
`dunnage --help` stays quick.
"""

from __future__ import annotations

import re
import sys
import unicodedata
from argparse import SUPPRESS, Action, ArgumentParser, ArgumentTypeError, Namespace
from collections.abc import Callable
from datetime import date, datetime
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pipelines.shop.settings import Settings

LONGEST = 1000
_UNWRITABLE = ("Cc", "Cs", "Zl", "Zp")


def shop_of(args: Namespace) -> Settings:
    """The settings of the folder that --shop names, by default of the current one. Raises SettingsError."""
    from pipelines.shop.settings import load

    return load(args.shop or Path())


def json_argument(parser: ArgumentParser, *, is_inner: bool = False) -> None:
    """Add --json. is_inner: to the parser of an action whose command has it, too."""
    meaning = "print the rows as JSON, with names and units as `dunnage export` has them"
    parser.add_argument("--json", action="store_true", help=meaning, default=SUPPRESS if is_inner else False)


class Renamed(Action):
    """The old name of the option `dest`: it is still read, and the present name is printed."""

    def __call__(self, parser: ArgumentParser, found: Namespace, value: object, option: str | None = None) -> None:
        """Set what the present option would."""
        present = f"--{self.dest.replace('_', '-')}"
        if getattr(found, self.dest) != parser.get_default(self.dest):
            parser.error(f"{option} is the old name of {present}, which is stated too")
        print(f"{option} is now named {present}; the old name is still read", file=sys.stderr)
        setattr(found, self.dest, value)


def words(text: str) -> str:
    """Text on one line, not empty."""
    if not text.strip():
        raise ArgumentTypeError("is empty")
    if len(text) > LONGEST:
        raise ArgumentTypeError(f"has {len(text):,} characters; at most {LONGEST:,} are read")
    if any(unicodedata.category(mark) in _UNWRITABLE for mark in text):
        raise ArgumentTypeError("holds a control character or bytes that are not text")
    return text


def remark(text: str) -> str:
    """Text on one line, which may be empty."""
    return words(text) if text else text


def path(text: str) -> Path:
    """A file or folder. An empty one would mean the current folder, which nobody meant."""
    if not text.strip() or "\0" in text:
        raise ArgumentTypeError("names no file or folder")
    if len(text) > 4 * LONGEST or any(len(part) > 255 for part in re.split(r"[/\\]", text)):
        raise ArgumentTypeError("is longer than a file's name can be")
    return Path(text)


def pair(text: str) -> str:
    """NAME=WORDS."""
    name, sign, rest = words(text).partition("=")
    if not sign or not name.strip() or not rest.strip():
        raise ArgumentTypeError(f"{text!r} is not NAME=WORDS, for example carrier=Northline")
    return text


def several(parser: ArgumentParser, name: str, metavar: str, help: str, kind: Callable[[str], object] = pair) -> None:
    """Add an option that may be given several times; each value is of a kind, else a pair."""
    parser.add_argument(name, action="append", default=[], metavar=metavar or None, type=kind, help=help)


def whole(least: int, most: int) -> Callable[[str], int]:
    """A whole number within limits."""

    def parse(text: str) -> int:
        if not re.fullmatch(r"[+-]?[0-9]{1,18}", text.strip()):
            raise ArgumentTypeError(f"{text[:40]!r} is not a whole number")
        number = int(text)
        if not least <= number <= most:
            raise ArgumentTypeError(f"{number} is not from {least} to {most}")
        return number

    return parse


def number(more_than: float, most: float) -> Callable[[str], float]:
    """A number above one limit and up to another; nan and inf are none."""

    def parse(text: str) -> float:
        found = _decimal(text)
        if not more_than < found <= most:
            raise ArgumentTypeError(f"{text[:40]} is not more than {more_than:g} and at most {most:g}")
        return float(found)

    return parse


def amount(text: str) -> str:
    """An amount of money as 14.25, not negative; the shop's currency says later how many decimals it may have."""
    if not 0 <= _decimal(text) <= 10**9:
        raise ArgumentTypeError(f"{text[:40]} is not an amount from 0 to 1,000,000,000")
    return text.strip()


def _decimal(text: str) -> Decimal:
    try:
        found = Decimal(text.strip()) if len(text) <= 40 and text.isascii() else Decimal("nan")
    except InvalidOperation:
        found = Decimal("nan")
    if not found.is_finite():
        raise ArgumentTypeError(f"{text[:40]!r} is not a number; write it with a point, as 14.25")
    return found


def month(text: str) -> str:
    """A month as 2026-10."""
    try:
        datetime.strptime(text if re.fullmatch(r"[0-9]{4}-[0-9]{2}", text) else "", "%Y-%m")
    except ValueError:
        raise ArgumentTypeError(f"{text[:40]!r} is not a month; write it as 2026-10") from None
    return text


def months(text: str) -> str:
    """A month as 2026-10, or several as 2026-01..2026-06."""
    first, sign, last = text.partition("..")
    if month(first) > month(last if sign else first):
        raise ArgumentTypeError(f"{text} ends before it begins")
    return text


def day(text: str) -> date:
    """A day as 2026-03-01."""
    try:
        return date.fromisoformat(text if re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text) else "")
    except ValueError:
        raise ArgumentTypeError(f"{text[:40]!r} is not a day; write it as 2026-03-01") from None


def currency(text: str) -> str:
    """A currency in use, by its ISO 4217 code."""
    from models.cells.currencies import is_currency

    if not is_currency(text.strip().upper()):
        raise ArgumentTypeError(f"{text[:40]!r} is not a currency in use; write its three letters, such as USD")
    return text.strip().upper()


def time_zone(text: str) -> str:
    """An IANA time zone."""
    from zoneinfo import ZoneInfo

    try:
        return ZoneInfo(text).key
    except (LookupError, ValueError, OSError):
        raise ArgumentTypeError(f"{text[:40]!r} is not a time zone; write it such as Europe/Berlin") from None
