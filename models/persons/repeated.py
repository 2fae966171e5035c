"""Blanks in free text what a row's personal columns hold, where the text repeats it."""

import re
import unicodedata
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from functools import lru_cache

from models.persons.words import Word, folded, is_trade_word, spellings, words
from models.privacy import BLANKED_END, BLANKED_PHONE, EMAILS, NAMES, PHONES, STREETS

BLANKED_NAME, BLANKED_STREET = f"[name{BLANKED_END}", f"[street{BLANKED_END}"
MARK = re.compile(r"\[(?:name|street|phone|e-mail)" + re.escape(BLANKED_END))
_FIGURES = re.compile(r"\+?\d(?:[ .\-/()]{0,2}\d)+")
_LEAST_LETTERS, _LEAST_FIGURES = 3, 7
# Figures of a telephone number that tell it, whatever stands before them for country and area.
_TELLING_FIGURES = 9
_STREET_ENDS = (
    *(("strasse", "str"), ("street", "st"), ("avenue", "ave"), ("road", "rd"), ("lane", "ln"), ("drive", "dr")),
    *(("court", "ct"), ("boulevard", "blvd"), ("place", "pl"), ("square", "sq")),
)


def without_repeated(text: str, held: Mapping[str, Sequence[str]], never: Collection[str] = ()) -> str:
    """The text without what the row's personal columns hold.

    held: what a column holds (models.privacy: NAMES, STREETS, EMAILS, PHONES) -> its texts; of an e-mail address the
    name beside it. never: folded words that stay, as those of the shop's item types. Whole words are compared, without
    case and accents. Several words of one column that stand together go; one alone goes if it has three letters
    and is no word of the trade.
    """
    whole = unicodedata.normalize("NFC", text)
    left = whole
    for street in held.get(STREETS, ()):
        left = _without_words(left, street, BLANKED_STREET, never, _street_spellings)
    for name in (*held.get(NAMES, ()), *held.get(EMAILS, ())):
        left = _without_words(left, name, BLANKED_NAME, never, spellings)
    for number in held.get(PHONES, ()):
        left = _without_number(left, number)
    return text if left == whole else left


@lru_cache(maxsize=50_000)
def _street_spellings(word: str) -> frozenset[str]:
    """Also with the kind of street cut short: `Hauptstraße` is hauptstr, `Lane` is ln."""
    found = spellings(word)
    short = {each.removesuffix(whole) + end for each in found for whole, end in _STREET_ENDS if each.endswith(whole)}
    return found | short


def _without_words(
    text: str, held: str, mark: str, never: Collection[str], spelled: Callable[[str], frozenset[str]]
) -> str:
    parts, known = _reported(held, spelled)
    if known.isdisjoint(_said(text, spelled)):
        return text
    gone = [
        (group[0].start, group[-1].end)
        for group in _groups(text, known, spelled)
        if _is_telling(group, parts, never, spelled)
    ]
    for start, end in reversed(gone):
        text = text[:start] + mark + text[end:]
    return text


@lru_cache(maxsize=50_000)
def _reported(held: str, spelled: Callable[[str], frozenset[str]]) -> tuple[tuple[frozenset[str], ...], frozenset[str]]:
    """The words of a column's text, each with its spellings, and all of these; also with an s, as in `Muellers`."""
    parts = tuple(spelled(word.text) for word in words(MARK.sub(" ", unicodedata.normalize("NFC", held))))
    return parts, frozenset[str]().union(*parts, *({f"{each}s" for each in part if len(each) > 3} for part in parts))


@lru_cache(maxsize=50_000)
def _said(text: str, spelled: Callable[[str], frozenset[str]]) -> frozenset[str]:
    """All spellings of all words of a remark: most remarks repeat, and nearly none names anybody."""
    return frozenset[str]().union(*(spelled(word.text) for word in words(text)))


def _groups(text: str, known: Collection[str], spelled: Callable[[str], frozenset[str]]) -> Iterator[list[Word]]:
    """Runs of words of the text that are all known, with nothing but blanks and marks between them."""
    shielded = MARK.sub(lambda found: "\0" * len(found.group()), text)
    group: list[Word] = []
    for word in words(shielded):
        is_near = bool(group) and word.start - group[-1].end <= 3 and "\0" not in shielded[group[-1].end : word.start]
        if group and not (is_near and not spelled(word.text).isdisjoint(known)):
            yield group
            group = []
        if not spelled(word.text).isdisjoint(known):
            group.append(word)
    if group:
        yield group


def _is_telling(
    group: Sequence[Word],
    parts: Sequence[frozenset[str]],
    never: Collection[str],
    spelled: Callable[[str], frozenset[str]],
) -> bool:
    """Whether these words tell the person: all that the column holds, or one that is no everyday word."""
    found = [spelled(word.text) for word in group]
    worded = [part for part in parts if not all(spelling.isdigit() for spelling in part)]
    if len(parts) > 1 and len(worded) > 0 and all(any(part & each for each in found) for part in worded):
        return len(group) > 1
    return any(_tells(word.text, never) for word in group)


def _tells(word: str, never: Collection[str]) -> bool:
    if sum(letter.isalpha() for letter in word) < _LEAST_LETTERS:
        return False
    return not any(each in never or is_trade_word(each) for each in spellings(word) | {folded(word)})


def _without_number(text: str, held: str) -> str:
    digits = re.sub(r"\D", "", held)[-_TELLING_FIGURES:]
    if len(digits) < _LEAST_FIGURES:
        return text

    def blank(found: re.Match[str]) -> str:
        figures = re.sub(r"\D", "", found.group())
        return BLANKED_PHONE if figures.endswith(digits) and len(figures) <= 15 else found.group()

    return _FIGURES.sub(blank, text)
