"""Which currencies a shop may have: codes of ISO 4217 that are money somewhere today."""

from __future__ import annotations

from functools import cache


def is_currency(code: str) -> bool:
    """Whether the code is a currency in use: legal tender somewhere, without a last day.

    Source: Unicode CLDR, supplemental currency data (as Babel carries it), whose codes are those of ISO 4217.
    """
    return code in in_use()


@cache
def in_use() -> frozenset[str]:
    """All such codes."""
    from babel.core import get_global  # only now: the command line's help needs no currencies

    spans = (span for territory in get_global("territory_currencies").values() for span in territory)
    return frozenset(code for code, _, last_on, is_tender in spans if is_tender and last_on is None)
