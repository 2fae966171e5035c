"""Headers in several languages and shapes, read into trade words and units."""

from __future__ import annotations

import pytest

from models.column_map.header_words import trade_words
from models.column_map.headers import Vocabulary, header
from models.fields import Quantity
from models.reference import RECORDS


@pytest.mark.parametrize(
    ("written", "words"),
    [
        ("Order no", {"sale", "number"}),
        ("orderNumber", {"sale", "number"}),
        ("ORDER_ID", {"sale", "number"}),
        ("Bestellnummer", {"sale", "number"}),
        ("N° de commande", {"sale", "number"}),
        ("Rechnungsdatum", {"invoice", "date"}),
        ("Factuurnummer", {"invoice", "number"}),
        ("Schnitthöhe", {"cut", "height"}),
        ("Aussenhoehe", {"outside", "height"}),
        ("Schadensnummer", {"claim", "number"}),
        ("Paid on", {"paid", "date"}),
        ("fee on shipping", {"fee", "postage"}),
        ("Poids (kg)", {"weight"}),
    ],
)
def test_words(written: str, words: set[str]) -> None:
    assert header(written).words == words


@pytest.mark.parametrize(
    ("written", "unit"),
    [
        ("Länge (cm)", (Quantity.LENGTH, "cm")),
        ("length_in", (Quantity.LENGTH, "in")),
        ("Weight [g]", (Quantity.WEIGHT, "g")),
        ("Gewicht kg", (Quantity.WEIGHT, "kg")),
        ("amount_cents", (Quantity.MONEY, "cents")),
        ("Total ($)", (Quantity.MONEY, "")),
        ("Checked in", (Quantity.LENGTH, "in")),  # harmless: no length column is known as "checked"
        ("Service", None),
        ("g", None),
    ],
)
def test_units(written: str, unit: tuple[Quantity, str] | None) -> None:
    assert header(written).unit == unit


@pytest.mark.parametrize("kind", RECORDS)
def test_each_contract_column_knows_itself_best(kind: str) -> None:
    vocabulary = Vocabulary(RECORDS[kind])
    for name in RECORDS[kind].columns:
        near = {other: vocabulary.nearness(other, header(name))[0] for other in RECORDS[kind].columns}
        assert near[name] == pytest.approx(1.0)
        assert [other for other, value in near.items() if value > 0.999] == [name]


def test_strange_words_are_kept_and_small_words_are_not() -> None:
    assert trade_words(["gift", "wrap", "of", "the"]) == {"gift", "wrap"}
