"""Notices what may be a street or a name in free text. It flags and changes nothing: a look cannot prove a name.

A street is a house number beside a word for a kind of street, in the ways of several countries. A name is a word after
a title or a phrase that a person follows, a common first name, or two capitalised words that are no words of the trade.
"""

import re
from collections.abc import Sequence
from enum import Flag, auto
from itertools import pairwise

from models.persons.repeated import MARK
from models.persons.words import FIRST_NAMES, folded, is_trade_word, words


class Doubts(Flag):
    """What may stand in a text."""

    NONE = 0
    STREET = auto()
    NAME = auto()


_NUMBER = r"\d{1,5}(?:[a-z]|[-/]\d{1,4})?"
_KINDS = "street|avenue|ave|road|rd|lane|ln|boulevard|blvd|terrace|crescent|highway|hwy|parkway|pkwy|gardens|mews"
_EVERYDAY_KINDS = "st|drive|dr|way|court|ct|place|pl|close|square|sq|row|hill|park|circle|cir|trail|loop|grove|walk"
_TITLED_KINDS = "|".join(kind.capitalize() for kind in (*_KINDS.split("|"), *_EVERYDAY_KINDS.split("|")))
_GERMAN = r"stra(?:ß|ss)e|str\.|str|gasse|allee|weg|platz|damm|ufer|steig"
_NORTHERN = r"straat|laan|plein|gracht|kade|dijk|gatan|gata|vägen|gade|vej|veien"
_ROMANCE = r"rue|calle|avenida|plaza|paseo|viale|piazza|corso|rua|carrer|ulica|ul\.|c/"
# 12 Mill Lane: all in capitals, or in any case with a kind of street that is no everyday word.
_TITLED_STREET = re.compile(rf"\b{_NUMBER},? ((?:[A-ZÀ-Þ][\w'’.\-]+ ){{1,3}}?)(?:{_TITLED_KINDS})\b")
_STREET = re.compile(rf"\b{_NUMBER},? ((?:[\w'’.\-]+ ){{1,3}}?)(?:{_KINDS})\b", re.IGNORECASE)
_SURE_STREET = re.compile(
    rf"\b(?:\w{{3,}}(?:{_GERMAN}|{_NORTHERN})|\w+ stra(?:ß|ss)e) {_NUMBER}\b"
    rf"|\b(?-i:[A-ZÄÖÜ])\w+ (?-i:Stra(?:ß|ss)e|Str\.|Gasse|Allee|Platz|Weg|Ring|Damm) {_NUMBER}\b"
    rf"|\b{_NUMBER},? (?:bis,? |ter,? )?(?:rue|boulevard|allée|chemin|impasse|quai|place d|cours d|route d)\w* \w"
    rf"|\b(?:{_ROMANCE}) (?:[\w'’.\-]+ ){{0,4}}?[\w'’.\-]+,? (?:n[.º°]* ?)?{_NUMBER}\b"
    r"|\bp\.? ?o\.? ?box \d+|\bpostfach \d+|\b(?:apartment|apt|suite)\.? ?#?\d+",
    re.IGNORECASE,
)
_NAMED_STREET = re.compile(
    rf"\b(?:[Vv]ia|[Aa]m|[Aa]n der|[Aa]uf dem|[Ii]m|[Zz]um|[Zz]ur) ((?:[A-ZÀ-Þ][\w'’]+ )+){_NUMBER}\b"
)
# No street is named by these between its number and its kind.
_WORDS_BETWEEN = """
a an and at by cm each feet for foot from ft in inch inches kg lb lbs mm of on or oz pcs per pieces the to with x
"""
_NEVER_STREET = frozenset(_WORDS_BETWEEN.split())
_SPOKEN = re.compile(r"[^\W\d_][\w'’\-]*")
_WORD = r"([^\W\d_][\w'’\-]*)"
_TITLE = re.compile(
    r"\b(?:mr|mrs|ms|mister|herrn?|frau|mme|mlle|monsieur|madame|señora?|sra|signora?|sig|dhr|mevr|mevrouw)\b\.? "
    rf"(?:dr\.? |prof\.? )?{_WORD}",
    re.IGNORECASE,
)
_TITLED = re.compile(
    r"\b(?:Miss|Mx|Dr|Prof|Fr|Hr|M|Sr|Don|Doña|Pan|Pani|Sir|Lady|[Bb]uyer|[Cc]ustomer|[Rr]ecipient|[Cc]lient|[Cc]liente|"
    r"[Cc]onsignee|[Nn]eighbou?r|[Kk]unde|[Kk]undin|[Kk]lant)\.?:? ([A-ZÀ-Þ][\w'’\-]+)"
)
_IN_CARE = re.compile(
    r"(?:\bc/o|\bcare of|\battn\b\.?:?|\battention:|\bfao\b|\bz\. ?hd\.?|\bzu händen(?: von)?|\bt\.a\.v\.|"
    rf"\bà l['’]attention de|\ba la atención de|\bchez) ?{_WORD}",
    re.IGNORECASE,
)
_PERSONAL_DEEDS = (
    r"(?:signed|accepted|collected|taken in) (?:for )?by|left with|(?:spoke|talked) (?:to|with)"
    r"|called|call|ask for|gift for"
)
_HANDED_TO = re.compile(
    r"\b(?:(?:ship|shipped|sent|send|deliver|delivered|addressed|address|forward|forwarded|belongs|goes|handed)"
    rf" to|(?:received|refused|opened|returned) by|order for|parcel for|{_PERSONAL_DEEDS}) (?:[^\W\d_]\. ?)?{_WORD}"
    rf"\.? (?:(?:van|von|de|der|den|del|di|da|la|le|ter|zu) )*{_WORD}",
    re.IGNORECASE,
)
_DEALT_WITH = re.compile(rf"\b(?i:{_PERSONAL_DEEDS}) ([A-ZÀ-Þ][\w'’\-]+)")
# J. Abernathy; not the end of a sentence before a new one, since what is cut short has one letter.
_INITIAL = re.compile(r"(?<![\w.])[A-ZÀ-Þ]\. ?([A-ZÀ-Þ][\w'’\-]{2,})")


def doubtful(text: str) -> Doubts:
    """What may stand in the text, marks of what was blanked aside."""
    shielded = MARK.sub(" ; ", text)
    found = Doubts.NONE
    if _has_street(shielded):
        found |= Doubts.STREET
    if _has_name(shielded):
        found |= Doubts.NAME
    return found


def _has_street(text: str) -> bool:
    if not any(letter.isdigit() for letter in text):
        return False
    if _SURE_STREET.search(text):
        return True
    titled = (found.group(1) for found in _TITLED_STREET.finditer(text))
    if any(_NEVER_STREET.isdisjoint(reported.casefold().split()) for reported in titled):
        return True
    if any(_are_names(found.group(1).split()) for found in _NAMED_STREET.finditer(text)):
        return True
    others = (found.group(1).casefold().split() for found in _STREET.finditer(text))
    return any(_NEVER_STREET.isdisjoint(reported) and any(map(_may_name, reported)) for reported in others)


def _has_name(text: str) -> bool:
    for pattern in (_TITLE, _TITLED, _IN_CARE, _DEALT_WITH, _INITIAL):
        if any(_may_name(found.group(1)) for found in pattern.finditer(text)):
            return True
    if any(_are_names(found.groups()) for found in _HANDED_TO.finditer(text)):
        return True
    if any(folded(word.text) in FIRST_NAMES for word in words(text)):
        return True
    return any(_are_together(text, one, other) for one, other in pairwise(_SPOKEN.finditer(text)))


def _are_names(reported: Sequence[str]) -> bool:
    return bool(reported) and all(_may_name(word) for word in reported)


def _may_name(word: str) -> bool:
    parts = [part for part in (folded(each.text) for each in words(word)) if len(part) > 1]
    return bool(parts) and not any(is_trade_word(part) or part.isdigit() for part in parts)


def _are_together(text: str, one: re.Match[str], other: re.Match[str]) -> bool:
    """Two words written like names side by side, neither a word of the trade: Orla Venn."""
    if text[one.end() : other.start()] not in (" ", ". ", ", "):
        return False
    return all(_is_written_like_a_name(word.group(), text) and _may_name(word.group()) for word in (one, other))


def _is_written_like_a_name(word: str, text: str) -> bool:
    letters = "".join(filter(str.isalpha, word))
    if len(letters) < 2:
        return False
    is_shouted = len(letters) > 3 and word.isupper() and not text.isupper()
    return is_shouted or (word[0].isupper() and any(map(str.islower, letters)))
