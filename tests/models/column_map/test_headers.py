"""Headers in several languages and shapes, read into trade words and units."""

from __future__ import annotations

import pytest

from models.column_map.header_words import TRADE_WORDS, written_words
from models.column_map.headers import Vocabulary, header, spelled_out, stated_unit
from models.fields import Quantity
from models.reference import RECORDS

# Words of phrases that are English alone.
_NATIVE = """
scan scanned under lie answered happened what may be again band distance lane show back
promise promised latest offer cancelled insurance accepted quoted typed void first
out outbound inbound original lost loss trial assigned
"""
NATIVE = frozenset(_NATIVE.split())


@pytest.mark.parametrize(
    ("written", "words"),
    [
        ("Order no", {"sale", "number"}),
        ("orderNumber", {"sale", "number"}),
        ("ORDER_ID", {"sale", "number"}),
        ("Bestellnummer", {"sale", "number"}),
        ("N° de commande", {"sale", "number"}),
        ("Rechnungsdatum", {"invoice", "date"}),
        ("Art.-Nr.", {"item", "number"}),
        ("Factuurnummer", {"invoice", "number"}),
        ("Schnitthöhe", {"cut", "height"}),
        ("Aussenhoehe", {"outside", "height"}),
        ("Schadensnummer", {"claim", "number"}),
        ("Paid on", {"paid", "date"}),
        ("fee on shipping", {"fee", "postage"}),
        ("Poids (kg)", {"weight"}),
        ("Nr zamówienia", {"sale", "number"}),
        ("Rodzaj opłaty", {"type", "charge"}),
        ("Besteld op", {"sold", "date"}),
        ("Weegschaal", {"scale"}),
        ("Schadenr", {"claim", "number"}),
    ],
)
def test_words(written: str, words: set[str]) -> None:
    found = header(written).words
    assert len(found) == len(words)
    assert all(any(word in meanings for meanings in found) for word in words)


def test_a_word_may_mean_several_things_and_the_columns_settle_which() -> None:
    assert {"postage", "shipped", "parcel"} <= header("Expédition").words[0]
    sales, weights = Vocabulary(RECORDS["sales"]), Vocabulary(RECORDS["weights"])
    assert sales.nearness("shipping_charged_cents", header("Frais d'expédition"))[0] == pytest.approx(1)
    assert weights.nearness("shipped_on", header("Date d'expédition"))[0] == pytest.approx(1)
    assert weights.nearness("parcel_id", header("N° d'expédition"))[0] == pytest.approx(1)
    assert sales.nearness("sku", header("Art.-Nr."))[0] > sales.nearness("item_type", header("Art.-Nr."))[0]
    assert sales.nearness("item_type", header("Art"))[0] > sales.nearness("sku", header("Art"))[0]


def test_a_phrase_with_brackets_stands_for_several() -> None:
    assert spelled_out("[net/unit] price") == ["price", "net price", "unit price"]
    assert spelled_out("item number/code") == ["item number", "item code"]


@pytest.mark.parametrize("kind", RECORDS)
def test_phrases_of_columns_are_made_of_trade_words(kind: str) -> None:
    """Else no header of another language could mean them."""
    unknown = {
        (name, word)
        for name, phrases in Vocabulary(RECORDS[kind]).phrases.items()
        for phrase, words in phrases.items()
        for word in words
        if word not in TRADE_WORDS and not word.isdigit() and phrase != name.removeprefix("is_").replace("_", " ")
    }
    assert {word for _, word in unknown} <= NATIVE


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


@pytest.mark.parametrize(
    ("written", "unit"),
    [
        ("Price per 100", "per 100"),
        ("Preis pro 1.000 Stk.", "per 1000"),
        ("Prix les 100", "per 100"),
        ("EUR/100", "per 100"),
        ("Unit cost (per 10)", "per 10"),
        ("Price / 12", "per 12"),
        ("Price each", None),
        ("Price per 100 kg", None),
        ("Price 100", None),
        ("Order 12/100", None),
    ],
)
def test_a_price_may_be_stated_for_several_pieces(written: str, unit: str | None) -> None:
    assert stated_unit(written, Quantity.MONEY) == unit
    assert (header(written).unit == (Quantity.MONEY, unit)) == (unit is not None)
    assert stated_unit(written, Quantity.LENGTH) is None


@pytest.mark.parametrize("kind", RECORDS)
def test_each_contract_column_knows_itself_best(kind: str) -> None:
    vocabulary = Vocabulary(RECORDS[kind])
    for name in RECORDS[kind].columns:
        near = {other: vocabulary.nearness(other, header(name))[0] for other in RECORDS[kind].columns}
        assert near[name] == pytest.approx(1.0)
        assert [other for other, value in near.items() if value > 0.999] == [name]


@pytest.mark.parametrize(
    "written",
    [
        *("Sold in packs of", "Pack size", "Bundle of", "Per pack", "Pieces per pack", "Sold in bundles of"),
        *("VPE", "Stück pro Paket", "Stück je Bund", "Verpakt per", "Colisage", "Vendus par lots de"),
        *("Pièces par paquet", "Pezzi per confezione", "Pakowane po", "Sztuk w paczce", "Ilość w opakowaniu"),
    ],
)
def test_how_many_cartons_come_in_a_pack_is_known_in_the_words_of_suppliers(written: str) -> None:
    """Suppliers' lists say it of the carton; the header comes nearer to this column than to any other, and near."""
    words = Vocabulary(RECORDS["cartons"])
    near = {name: words.nearness(name, header(written))[0] for name in RECORDS["cartons"].columns}
    assert max(near, key=near.__getitem__) == "pack_quantity"
    assert near["pack_quantity"] > 0.7


def test_strange_words_are_kept_and_small_words_are_not() -> None:
    assert written_words(["gift", "wrap", "of", "the"]) == (frozenset(("gift",)), frozenset(("wrap",)))
