"""Words of a text as they are compared: without case and accents, in each spelling; and what a word is known for.

The lists of models/persons/lists are common practice, no source. Trade and everyday words are collected from what is
written on goods, packing, damage, carriers and the calendar; none of them alone is taken for a name. First names are
frequent in Europe and the Americas, from memory, without those that are everyday words (Mark, Will, Rose, Grant).
"""

import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from models.packaged import packaged

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


def _listed(*names: str) -> list[str]:
    return [folded(word) for name in names for word in packaged(f"persons/lists/{name}.txt").split()]


TRADE_WORDS = frozenset(_listed("english", "goods", "other_languages"))
# Ends of German and Dutch compounds of the trade, written as one word: Seitenkarton, Endkappe.
TRADE_ENDS = tuple(_listed("ends_of_compounds"))
FIRST_NAMES = frozenset(_listed("first_names"))


def is_trade_word(word: str) -> bool:
    """Whether a folded word belongs to the trade or to everyday language, also with a plural or verb ending."""
    if word in TRADE_WORDS or (len(word) > 5 and word.endswith(TRADE_ENDS)):
        return True
    for ending in ("s", "es", "ed", "d", "ing", "ly"):
        if word.endswith(ending) and len(word) - len(ending) >= 3 and word.removesuffix(ending) in TRADE_WORDS:
            return True
    return False
