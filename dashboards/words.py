"""Names in a row: of columns, or ids of sentences."""

from collections.abc import Sequence
from typing import TypeAlias

# Names parted by blanks, or a sequence of them.
Words: TypeAlias = str | Sequence[str]


def words(stated: Words) -> tuple[str, ...]:
    """Names of columns, or ids of sentences: parted by blanks, or in a sequence."""
    return tuple(stated.split() if isinstance(stated, str) else stated)
