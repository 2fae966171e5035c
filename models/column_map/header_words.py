"""Words of column headers in several languages, brought to the trade words that they may mean.

The words themselves stand in models/column_map/languages; accents and case are dropped before the look-up (`ä` is also
known as `ae`). One written word may mean several things ("expédition" is a parcel, its sending, or the postage); the
columns of a record settle which. A written word may also say two things (`Rechnungsdatum`): it gives both.
"""

from collections.abc import Iterator
from functools import lru_cache

from models.column_map.languages import LANGUAGES

__all__ = ["TRADE_WORDS", "phrase_words", "written_words"]

Meanings = frozenset[str]
# What one written word may mean.

# Letters that join the parts of a German or Dutch word.
_JOINTS = ("", "s", "n", "en", "e", "ungs")
# Of a header's last word: "shipped on", "versendet am", "expédié le", "spedito il", "enviado el", "expedido em",
# "verzonden op".
_DATE_ENDS = frozenset(("on", "at", "am", "le", "il", "el", "em", "op"))

_SMALL_WORDS = """
of the a an to in on at by for per is was and as or via trade  de du des la le les et d l au aux par pour en
der die das den und fur fuer je im am an zu zum zur von vom mit nach  el los las y del por para al
il lo di da dei delle della dell del al alla in per  o os e do dos das na ao em  van het op aan bij voor
si puo  se puede  peut etre  kann werden  pode  pro po
"""
_STOP = frozenset(_SMALL_WORDS.split()) - {"l"}


def _lines() -> Iterator[tuple[str, list[str]]]:
    for words in LANGUAGES:
        for line in words.strip().splitlines():
            name, _, rest = line.partition(":")
            yield name, rest.split()


def _meanings() -> dict[str, Meanings]:
    found: dict[str, set[str]] = {}
    for trade_word, written in _lines():
        if not trade_word.startswith("="):
            for word in (trade_word, *written):
                found.setdefault(word, set()).add(trade_word)
    return {word: frozenset(meanings) for word, meanings in found.items()}


MEANS = _meanings()
TRADE_WORDS = frozenset(name for name, _ in _lines() if not name.startswith("="))
_JOINED = {name.removeprefix("= "): tuple(words) for name, words in _lines() if name.startswith("=")}


def phrase_words(words: list[str]) -> frozenset[str]:
    """The trade words of a column's own phrase, one for each word that is not small."""
    found = set(_date_end(words))
    for word in words:
        if word in TRADE_WORDS:
            found.add(word)
        elif word not in _STOP:
            found.update(min(meanings) for meanings in _of_one(word))
    return frozenset(found)


def written_words(words: list[str]) -> tuple[Meanings, ...]:
    """What each word of a header may mean; strange words mean themselves, small ones nothing."""
    found = [frozenset((date,)) for date in _date_end(words)]
    for word in words:
        if word in MEANS or word not in _STOP:
            found.extend(_of_one(word))
    return tuple(dict.fromkeys(found))


def _date_end(words: list[str]) -> list[str]:
    return ["date"] if len(words) > 1 and words[-1] in _DATE_ENDS else []


@lru_cache(maxsize=10_000)
def _of_one(word: str) -> tuple[Meanings, ...]:
    if word in _JOINED:
        return tuple(frozenset((each,)) for each in _JOINED[word])
    if word in MEANS:
        return (MEANS[word],)
    return _stem(word) or _parts(word) or (frozenset((word,)),)


def _stem(word: str) -> tuple[Meanings, ...]:
    """A plural or a German genitive stands for its word."""
    for ending in ("s", "e", "es"):
        bare = word.removesuffix(ending)
        if bare != word and len(bare) > 2 and bare in MEANS:
            return (MEANS[bare],)
    return ()


def _parts(word: str) -> tuple[Meanings, ...]:
    """A word joined from known words, such as `Rechnungsdatum`, `trackingnumber` or `Frachtkostenanteil`."""
    for at in range(len(word) - 2, 2, -1):
        left, right = word[:at], word[at:]
        begun = next((left.removesuffix(joint) for joint in _JOINTS if left.removesuffix(joint) in MEANS), "")
        if len(begun) > 2 and (rest := (MEANS[right],) if right in MEANS else _parts(right)):
            return (MEANS[begun], *rest)
    return ()
