"""What a terminal says of insuring: one verdict, and how to read the figures."""

from __future__ import annotations

from dashboards.insurance_words import LEDGER, LISTED, RULES, said
from models.shop_units import Units
from models.tables import TABLES
from tests.dashboards.sentences.cases import row, rows

EUROS = Units("EUR")


def test_one_verdict_and_the_meaning_are_reported() -> None:
    few = row(RULES, is_too_few=True, net_cents=100, net_low_cents=-500, net_high_cents=900)
    verdict, meaning = said({**few, **row(LEDGER)}, EUROS)
    assert verdict.startswith("Whether insurance pays is not known yet: 60 claims on insured parcels")
    assert meaning.startswith("Parcels of the last 90 days are left out")


def test_without_a_premium_it_is_said_how_to_name_one() -> None:
    found = said({**rows(RULES), **row(LEDGER, premium_cents=0)}, EUROS)
    assert 'dunnage charges --word "Its word=surcharge: insurance"' in found[0]


def test_columns_of_the_terminal_are_columns_of_the_tables() -> None:
    assert all(set(columns) <= set(TABLES[name].columns) for name, (_, columns) in LISTED.items())
