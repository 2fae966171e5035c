"""Currencies: those in use; minor units as ISO 4217 publishes them; signs, words and grouping as CLDR writes them.

CLDR knows minor units too, but for some 25 currencies it states those in daily use (none for IQD, where ISO has 3).
Both libraries are loaded where the first cell needs them: a plain number never does.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator
from functools import cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from babel import Locale

# Counts that between them ask for every plural form of the languages that have several: 1 zloty, 2 zlote, 5 zlotych.
_COUNTS = (0, 1, 2, 5, 11, 100, 1.5)
_UNSEEN = {"\u200b", "\u200e", "\u200f", "\u061c"}


def is_currency(code: str) -> bool:
    """Whether the code is a currency in use: legal tender somewhere, without a last day.

    Source: Unicode CLDR, supplemental currency data (as Babel carries it), whose codes are those of ISO 4217.
    """
    return code in in_use()


@cache
def in_use() -> frozenset[str]:
    """All such codes."""
    from babel.core import get_global

    spans = (span for territory in get_global("territory_currencies").values() for span in territory)
    return frozenset(code for code, _, last_on, is_tender in spans if is_tender and last_on is None)


@cache
def minor_digits(currency: str) -> int:
    """Decimals of a currency by ISO 4217: 2 for USD, 0 for JPY, 3 for KWD; 2 for what is not on the list."""
    from iso4217 import Currency

    try:
        digits = Currency(currency).exponent
    except ValueError:
        return 2
    return 2 if digits is None else int(digits)


def may_mean(mark: str, currency: str) -> bool:
    """Whether a sign, word or code beside an amount may mean the currency: `$` many, `Euro` and `€` EUR only.

    Asked in the languages of the places where the currency is legal tender, and in those official in several
    countries. Capitals, blanks and a full stop at the end make no difference.
    """
    plain = _plain(mark)
    return plain == _plain(currency) or plain in _marks(currency)


def groups_by_two(currency: str) -> bool:
    """Whether numbers are written 12,34,567 where the currency is legal tender, as in India."""
    return any(locale.decimal_formats[None].grouping == (3, 2) for locale in _home_locales(currency))


def _plain(mark: str) -> str:
    shown = (letter for letter in unicodedata.normalize("NFKC", mark) if letter not in _UNSEEN)
    return "".join("".join(shown).casefold().split()).rstrip(".")


@cache
def _marks(currency: str) -> frozenset[str]:
    from babel.numbers import get_currency_name, get_currency_symbol

    written = set()
    for locale in (*_home_locales(currency), *_travelled_languages()):
        written.add(get_currency_symbol(currency, locale))
        written.update(get_currency_name(currency, count, locale) for count in _COUNTS)
    return frozenset(map(_plain, written)) - {""}


@cache
def _home_locales(currency: str) -> tuple[Locale, ...]:
    from babel import Locale, localedata
    from babel.core import get_global
    from babel.numbers import get_territory_currencies

    homes = {place for place in get_global("territory_currencies") if currency in get_territory_currencies(place)}
    found = map(Locale.parse, localedata.locale_identifiers())
    return tuple(locale for locale in found if locale.territory in homes)


def _travelled_languages() -> Iterator[Locale]:
    """Languages that are official in several countries: their exports name other countries' money."""
    from babel import Locale, localedata
    from babel.core import get_global
    from babel.languages import get_official_languages

    spoken = [language for place in get_global("territory_languages") for language in get_official_languages(place)]
    for language in sorted(set(spoken) & set(localedata.locale_identifiers())):
        if spoken.count(language) > 1:
            yield Locale.parse(language)
