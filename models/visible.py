"""Text of a file as it may be shown: nothing in it steers a terminal or turns what stands beside it around."""

import re
import textwrap
from collections.abc import Sequence

LONGEST_NAME = 60
# A spreadsheet takes a text that begins so for a formula.
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")
_MOST_LISTED = 30
# Control characters (Unicode category Cc but the line feed), marks that turn the direction of text, half characters.
_STEERING = re.compile("[\x00-\x09\x0b-\x1f\x7f-\x9f\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069\ud800-\udfff]")


def visible(text: str, longest: int | None = None) -> str:
    """The text with such characters written as escapes; shortened where it is longer than that."""
    if longest is not None and len(text) > longest:
        text = f"{text[: longest - 1]}…"
    return _STEERING.sub(lambda found: ascii(found[0])[1:-1], text)


def listed(names: Sequence[str]) -> str:
    """Names from a file in quotes, each shortened, of many the first."""
    quoted = ", ".join(f"'{visible(name, LONGEST_NAME)}'" for name in names[:_MOST_LISTED])
    return quoted if len(names) <= _MOST_LISTED else f"{quoted} and {len(names) - _MOST_LISTED:,} more"


def wrapped(line: str, width: int) -> str:
    """The line broken between words at `width`, what goes on two blanks further in. A longer word stays whole."""
    indent = line[: len(line) - len(line.lstrip())]
    return textwrap.fill(line, width, subsequent_indent=f"{indent}  ", break_long_words=False, break_on_hyphens=False)


def counted(number: int, noun: str) -> str:
    """A number and its noun, which agree."""
    return f"{number:,} {noun}{'' if number == 1 else 's'}"
