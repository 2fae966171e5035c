"""What `dunnage tariff show` prints of a tariff, held to what the tariff states."""

from __future__ import annotations

import io
import re
from functools import partial

from rich.console import Console

from dashboards import formats
from models.shop_units import Units
from models.tariffs.rules import Tariff
from models.tariffs.showing import heading, price_grids, rule_tables
from pipelines import printing

DEFAULT_UNITS = Units("USD")


def text_of(tariff: Tariff) -> str:
    """Heading, rules and prices as a wide terminal has them."""
    console = Console(file=io.StringIO(), width=2_000)
    money = partial(formats.fine_money, currency=tariff.currency)
    console.print(printing.Prose(heading(tariff)))
    for title, frame in (rule_tables(tariff, money) | price_grids(tariff, money)).items():
        console.print(printing.rows(title, frame, DEFAULT_UNITS))
    assert isinstance(console.file, io.StringIO)
    return console.file.getvalue()


def hold_shown(tariff: Tariff) -> None:
    """Every name, zone and price stands there, and each price with its currency."""
    text = text_of(tariff).casefold()
    names = [
        *(row.service for row in tariff.services),
        *(row.surcharge for row in tariff.surcharges),
        *(row.charge_name for row in tariff.extras),
        *(row.size_class for row in tariff.classes),
        *(f"zone {price.zone}" for price in tariff.prices),
        *(
            formats.money(price.price_cents, tariff.currency)
            for price in tariff.prices
            if price.price_cents is not None
        ),
    ]
    assert [name for name in dict.fromkeys(names) if name.casefold() not in text] == []
    assert not re.search(r"\bcents?\b", text)
