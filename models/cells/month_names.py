"""Names of months as Unicode's CLDR gives them, whole and abbreviated, in six languages of invoices and exports."""

from __future__ import annotations

from functools import cache

# With the countries that abbreviate otherwise.
LANGUAGES = ("en", "en_GB", "de", "de_AT", "fr", "fr_CA", "es", "it", "pt")
_CONTEXTS, _WIDTHS = ("format", "stand-alone"), ("wide", "abbreviated")


def month_number(name: str) -> int | None:
    """1 to 12; None for what is not the whole name of a month or its abbreviation. No name means two months."""
    return _numbers().get(_plain(name))


def _plain(name: str) -> str:
    return name.casefold().rstrip(".")


@cache
def _numbers() -> dict[str, int]:
    from babel import Locale

    found = (Locale.parse(language).months for language in LANGUAGES)
    written = [months[context][width] for months in found for context in _CONTEXTS for width in _WIDTHS]
    return {_plain(name): number for names in written for number, name in names.items()}
