"""Words of a text as they are compared: without case and accents, in each way they may be spelled."""

import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

_WORD = re.compile(r"[^\W_]+")
# Letters that fall apart into no base letter and an accent.
_LETTERS = str.maketrans({"ø": "o", "ł": "l", "đ": "d", "ð": "d", "þ": "th", "æ": "ae", "œ": "oe", "ı": "i", "’": "'"})
_UMLAUTS = str.maketrans({"ä": "ae", "ö": "oe", "ü": "ue", "å": "aa", "ø": "oe"})


@dataclass(frozen=True)
class Word:
    """A run of letters and figures in a text, and where it stands."""

    text: str
    start: int
    end: int


def words(text: str) -> Iterator[Word]:
    """The words of a text in order; an apostrophe, a point or a hyphen parts two."""
    return (Word(found.group(), found.start(), found.end()) for found in _WORD.finditer(text))


@lru_cache(maxsize=50_000)
def folded(word: str) -> str:
    """The word in small letters without accents: `Müller` is muller, `Straße` strasse."""
    apart = unicodedata.normalize("NFKD", word.casefold().translate(_LETTERS))
    return "".join(letter for letter in apart if not unicodedata.combining(letter))


@lru_cache(maxsize=50_000)
def spellings(word: str) -> frozenset[str]:
    """The ways in which the word may be written without accents: `Müller` is muller or mueller."""
    whole = unicodedata.normalize("NFC", word.casefold())
    return frozenset((folded(whole), folded(whole.translate(_UMLAUTS))))
