"""Postal codes of a tariff: what an entry such as `20` or `IV1..IV28` stands for, as prefixes of codes.

A code begins with a prefix. A prefix of letters and a number, such as IV1, stands for that number whole: not for IV12.
"""

import re
from collections.abc import Iterator

BETWEEN = ".."
_SIDE = re.compile(r"^([A-Z]*)(\d+)$")
_WITH_SECOND_PART = re.compile(r"^[A-Z].{1,3}\d[A-Z]{2}$")
# As many codes as one range may spell out.
MOST_CODES = 10_000


def normal(entry: str) -> str:
    """A code or prefix as codes are compared: capitals, without blanks and hyphens."""
    return re.sub(r"[\s-]", "", entry).upper()


def district(code: str) -> str:
    """A recorded code as districts are listed: as the fragment {postal ...} of models/sql_texts.py has it."""
    plain = normal(code)
    if plain[:1].isalpha() and " " in code.strip():
        return code.split()[0].upper()
    return plain[:-3] if _WITH_SECOND_PART.match(plain) else plain


def prefixes(entry: str) -> tuple[str, ...]:
    """The prefixes that an entry stands for: itself, or those of a range. Raises ValueError with what is wrong."""
    if BETWEEN not in entry:
        if not re.fullmatch(r"[0-9A-Z]+", normal(entry)):
            raise ValueError("is no postal code, nor the beginning of one")
        return (normal(entry),)
    first, last = (_SIDE.match(normal(side)) for side in entry.split(BETWEEN, 1))
    if not first or not last or first[1] != last[1]:
        raise ValueError("is no range: write both ends as the same letters and a number")
    if first[1] == "" and len(first[2]) != len(last[2]):
        raise ValueError("is no range: write both ends with as many figures")
    if int(first[2]) > int(last[2]):
        raise ValueError("ends before it begins")
    return tuple(_spelt_out(first[1], first[2], last[2]))


def _spelt_out(letters: str, first: str, last: str) -> Iterator[str]:
    if not letters:
        yield from _covered(first, last)
    elif int(last) - int(first) >= MOST_CODES:
        raise ValueError(f"spans more than {MOST_CODES} codes")
    else:
        width = len(first) if len(first) == len(last) else 0
        yield from (f"{letters}{number:0{width}d}" for number in range(int(first), int(last) + 1))


def _covered(first: str, last: str) -> Iterator[str]:
    """The fewest prefixes that all numbers from first to last begin with, and no other number of as many figures."""
    low, high, width = int(first), int(last), len(first)
    while low <= high:
        zeros = 0
        while zeros < width - 1 and low % 10 ** (zeros + 1) == 0 and low + 10 ** (zeros + 1) - 1 <= high:
            zeros += 1
        yield f"{low:0{width}d}"[: width - zeros]
        low += 10**zeros


def is_whole(prefix: str) -> bool:
    """Whether the prefix is letters and a number, so that no further figure may follow it."""
    return prefix[:1].isalpha() and prefix[-1:].isdigit()


def begins(code: str, prefix: str) -> bool:
    """Whether a code, as `normal` has it, begins with the prefix."""
    return code.startswith(prefix) and not (is_whole(prefix) and code[len(prefix) : len(prefix) + 1].isdigit())
