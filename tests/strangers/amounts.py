"""Amounts: grouping, decimal marks, currency signs, codes and words of locales, as CLDR (through Babel) writes them.

Minor units after ISO 4217 (none for JPY, three for KWD), also by way of CLDR.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from decimal import Decimal

from babel import Locale
from babel.numbers import (
    format_currency,
    format_decimal,
    get_currency_precision,
    get_currency_symbol,
    get_decimal_symbol,
)

from pipelines.shop.settings import Shop
from tests.strangers.groups import Group
from tests.strangers.odd_amounts import cents, odd, unproven
from tests.strangers.probes import MONEY, SHIPPING
from tests.strangers.trials import Case, either, refused, valid

# Shop's currency and the locale of whoever exports.
SHOPS = (
    *(("USD", one) for one in ("en_US", "es_MX", "ja_JP", "zh_CN", "en_IN", "de_DE", "pt_BR", "ru_RU", "he_IL")),
    *(
        ("EUR", one)
        for one in ("de_DE", "fr_FR", "es_ES", "it_IT", "nl_NL", "fi_FI", "pt_PT", "de_AT", "en_IE", "sl_SI")
    ),
    *(("GBP", one) for one in ("en_GB", "cy_GB")),
    *(("CHF", one) for one in ("de_CH", "fr_CH", "it_CH")),
    *(("JPY", one) for one in ("ja_JP", "en_US")),
    *(("SEK", one) for one in ("sv_SE", "en_US")),
    ("KWD", "en_US"),
    ("PLN", "pl_PL"),
    ("CZK", "cs_CZ"),
    ("DKK", "da_DK"),
    ("NOK", "nb_NO"),
    ("BRL", "pt_BR"),
    ("INR", "en_IN"),
)
FOREIGN = ("EUR", "GBP", "CHF", "JPY", "PLN", "BRL", "USD")
PER_LOCALE = 14


def groups(chance: random.Random) -> Iterator[Group]:
    """Amounts under a stated decimal mark; then those that no shop's map can prove."""
    for currency, locale in SHOPS:
        yield Group(
            f"money {currency} {locale}",
            MONEY,
            list(_of_locale(currency, locale, chance)),
            decimal=get_decimal_symbol(locale),
            shop=Shop(currency=currency),
        )
    yield Group("money under a point", MONEY, list(odd(".", ",")), decimal=".")
    yield Group("money under a comma", MONEY, list(odd(",", ".")), decimal=",", shop=Shop(currency="EUR"))
    yield Group("money in cents", MONEY, list(cents()), decimal=".", unit="cents")
    yield Group("shipping", SHIPPING, [*refused("below zero", "-1.00", "-0.01"), valid("zero", "0", 0)], decimal=".")
    yield from unproven()


def _of_locale(currency: str, locale: str, chance: random.Random) -> Iterator[Case]:
    places = get_currency_precision(currency)
    for number in range(PER_LOCALE):
        minor = chance.randrange(10 ** chance.randint(1, 8))
        amount = Decimal(-minor if number % 5 == 4 else minor).scaleb(-places)
        minor = int(amount.scaleb(places))
        style = number % 4
        if style == 0:
            # A plain number as a program of that locale shows it.
            yield valid("CLDR number", format_decimal(amount, locale=locale, decimal_quantization=False), minor)
        elif style == 1:
            yield valid("CLDR amount", format_currency(amount, currency, locale=locale), minor)
        elif style == 2:
            yield valid("number and ISO 4217 code", f"{_plain(amount, locale)} {currency}", minor)
        else:
            yield either(
                "CLDR amount in words", format_currency(amount, currency, locale=locale, format_type="name"), minor
            )
    yield from _foreign(currency, locale)


def _plain(amount: Decimal, locale: str) -> str:
    return f"{amount:f}".replace(".", get_decimal_symbol(locale))


def _foreign(currency: str, locale: str) -> Iterator[Case]:
    own = {get_currency_symbol(currency, locale), Locale.parse(locale).currency_symbols.get(currency), currency}
    for other in FOREIGN:
        written = format_currency(Decimal("1234.50"), other, locale=locale)
        is_told_apart = other != currency and get_currency_symbol(other, locale) not in own
        if is_told_apart:
            yield from refused(f"an amount in another currency than the shop's {currency}", written)
            yield from refused(
                f"another currency's code in a shop of {currency}", f"{_plain(Decimal('12.50'), locale)} {other}"
            )
