"""What a setting may say: the types of which the sections of dunnage.toml are made.

A section is a frozen dataclass that derives from Section. Each field states by its type what it may hold:
`Annotated[int, Field(ge=1, le=28)]`, or one of the types below. models/settings/checking.py holds a file to them.
"""

import codecs
import re
import unicodedata
from collections.abc import Collection
from datetime import date, datetime, time
from difflib import get_close_matches
from typing import Annotated, Any
from zoneinfo import ZoneInfo, available_timezones

from pydantic import AfterValidator, BeforeValidator, Field

from models.cells.currencies import in_use, is_currency
from models.settings.sections import RefusedError as RefusedError
from models.settings.sections import Section as Section


def nearest(name: str, known: Collection[str]) -> str:
    """What to use instead of a name that is not known: the likeliest first, then all."""
    listed = ", ".join(sorted(known)[:40])
    close = get_close_matches(name[:100].casefold(), sorted(known), n=1)
    return f"did you mean {close[0]}? Known are: {listed}" if close else f"use one of {listed}"


def shown(value: object) -> str:
    """A value for a message: short, on one line, whatever it is."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, date | time):
        return value.isoformat()
    if isinstance(value, dict | list):
        return "a table" if isinstance(value, dict) else "a list"
    try:
        text = repr(value)
    except ValueError:  # Python writes no number of so many digits
        return "a number of thousands of digits"
    return text if len(text) <= 80 else f"{text[:77]}..."


def shown_name(name: str) -> str:
    """A setting's name for a message; quoted where it is not one that TOML writes bare."""
    return name if re.fullmatch(r"[\w.-]{1,80}", name) else shown(name)


def among(known: Collection[str]) -> Any:
    """A validator for one word out of several."""

    def check(word: str) -> str:
        if word not in known:
            raise RefusedError("is not known", nearest(word, known))
        return word

    return AfterValidator(check)


def _plain(text: str) -> str:
    if any(unicodedata.category(mark) in ("Cc", "Cs", "Zl", "Zp") for mark in text):
        raise RefusedError("holds a line break or another control character", "write it on one line")
    return text


def _currency(code: str) -> str:
    if not is_currency(code):
        close = [code.upper()] if is_currency(code.upper()) else get_close_matches(code[:10].upper(), in_use(), n=3)
        hint = f"did you mean {' or '.join(close)}" if close else "use one such as USD, EUR or GBP"
        raise RefusedError("is not a currency in use (ISO 4217)", hint)
    return code


def _zone(name: str) -> str:
    try:
        ZoneInfo(name)
    except (LookupError, ValueError, OSError):  # OSError: a folder of zones, such as "America"
        close = get_close_matches(name[:100].replace(" ", "_"), available_timezones(), n=2, cutoff=0.7)
        hint = f"did you mean {' or '.join(close)}" if close else "use an IANA name such as Europe/Berlin"
        raise RefusedError("is not known", hint) from None
    return name


_SIZE = re.compile(r"(\d{1,9}(?:\.\d{1,9})?) ?([KMGT])(?:I?B)?", re.IGNORECASE)
_SHARE = re.compile(r"(?:100|[1-9]\d?)%")
_THOUSANDS = {"K": 1, "M": 2, "G": 3, "T": 4}
LEAST_MEMORY, MOST_MEMORY = 64 * 1000**2, 1000 * 1000**4


def _memory(text: str) -> str:
    found = _SIZE.fullmatch(text)
    byte_count = float(found[1]) * 1000 ** _THOUSANDS[found[2].upper()] if found else 0
    if not LEAST_MEMORY <= byte_count <= MOST_MEMORY and not _SHARE.fullmatch(text):
        raise RefusedError("is not an amount of memory from 64MB to 1000TB", 'write it as "4GB", "800MB" or "50%"')
    return text


def _delimiter(marks: str) -> str:
    if not 1 <= len(marks) <= 4 or any(mark.isalnum() or mark in "\"'\r\n\0\\" for mark in marks):
        raise RefusedError(
            "cannot separate columns",
            r'write one to four characters, no letter, digit or quote among them, such as ";" or "\t"',
        )
    return marks


# Python knows them as encodings, but no program writes a file of records so.
_NOT_FOR_FILES = {"idna", "punycode", "undefined", "unicode_escape", "raw_unicode_escape"}


def _encoding(name: str) -> str:
    try:
        "".encode(name)
        codec = codecs.lookup(name).name.replace("-", "_")
    except (LookupError, ValueError, OSError, ImportError):
        codec = "undefined"
    if codec in _NOT_FOR_FILES or not name.isascii():
        raise RefusedError("is not a text encoding", 'use one such as "utf-8", "windows-1252" or "utf-16"')
    return name


def _file_pattern(text: str) -> str:
    if "/" in text or "\\" in text:
        raise RefusedError("names a folder", 'write the file\'s name alone, such as "sales-*.csv"')
    return text


def _inside(text: str) -> str:
    parts = re.split(r"[/\\]", text)
    if any(part in ("", "..") or part.startswith((".", "~")) or ":" in part for part in parts):
        raise RefusedError(
            "is not a folder inside the shop's folder",
            "write a plain name such as \"reviews\": no leading / or ., no '..'; a link may lead to another disk",
        )
    return text


def _inbox(text: str) -> str:
    if text.strip("./\\ ") == "" or text.startswith("~"):
        raise RefusedError(
            "cannot be the inbox", 'write "inbox", or the whole path of the folder that receives the exports'
        )
    return text


def _url_or_folder(text: str) -> str:
    if not text.strip("/ "):
        raise RefusedError("is empty", "name a folder or a URL for this shop's records")
    return text


def _day(stated: object) -> object:
    """A file may state a day with a time of day."""
    return stated.date() if isinstance(stated, datetime) else stated


Day = Annotated[date, BeforeValidator(_day)]
Plain = Annotated[str, AfterValidator(_plain)]
Words = Annotated[str, Field(min_length=1, max_length=200), AfterValidator(_plain)]
Currency = Annotated[str, AfterValidator(_currency)]
Zone = Annotated[str, AfterValidator(_zone)]
Memory = Annotated[str, AfterValidator(_memory)]
Delimiter = Annotated[str, AfterValidator(_delimiter)]
Encoding = Annotated[str, Field(max_length=40), AfterValidator(_encoding)]
FilePattern = Annotated[Words, AfterValidator(_file_pattern)]
InsideFolder = Annotated[Words, AfterValidator(_inside)]
InboxFolder = Annotated[Words, AfterValidator(_inbox)]
UrlOrFolder = Annotated[Plain, AfterValidator(_url_or_folder)]
DecimalMark = Annotated[str, among((".", ","))]
DateOrder = Annotated[str, among(("dmy", "mdy", "ymd"))]
