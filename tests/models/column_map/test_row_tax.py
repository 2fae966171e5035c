"""Where the tax of an invoice's rows stands: drawn invoices of known rates, and what must leave it open."""

import random
from decimal import ROUND_HALF_UP, Decimal

import pytest

from models.column_map import Pairing, Sample, found_tax, stated_tax
from models.errors import ColumnMapError

CENT = Decimal("0.01")


def rows_of(seed: int, rate: Decimal, count: int = 60) -> list[tuple[str, Decimal, Decimal]]:
    """Words, amounts without tax, and their tax; every ninth row bears none."""
    drawn = random.Random(seed)
    found = []
    for number in range(count):
        net = Decimal(drawn.randint(150, 6_000)).scaleb(-2) * (-1 if number % 13 == 12 else 1)
        tax = Decimal(0) if number % 9 == 8 else (net * rate).quantize(CENT, ROUND_HALF_UP)
        found.append((drawn.choice(("Freight", "Diesel", "Manual handling")), net, tax))
    return found


def asked(
    rows: list[tuple[str, Decimal, Decimal]],
    *,
    is_within: bool,
    amount: str = "Charged",
    third: str | None = None,
    tax: str = "VAT",
) -> object:
    """What is found of the rows; third: header of the other amount, if the file states it."""
    headers = ("Label", "Text", amount, tax, *([third] if third else []))
    cells = []
    for at, (word, net, part) in enumerate(rows):
        one, other = (net + part, net) if is_within else (net, net + part)
        cells.append((f"P{at}", word, str(one), str(part), *([str(other)] if third else [])))
    pairings = {
        "charge_code": Pairing("charge_code", "Text", 1.0),
        "amount_cents": Pairing("amount_cents", amount, 1.0),
    }
    return found_tax(Sample(headers, tuple(cells)), pairings, headers[3:], ".")


@pytest.mark.parametrize("percent", ["5", "10", "13", "15", "19", "21", "22", "23"])
@pytest.mark.parametrize("is_within", [True, False])
def test_the_share_alone_tells_where_it_is_a_rate_in_one_way_only(percent: str, is_within: bool) -> None:
    found = asked(rows_of(7, Decimal(percent) / 100), is_within=is_within)
    assert (found.tax, found.word, found.amount, found.is_within) == ("VAT", "Text", "Charged", is_within)  # type: ignore[attr-defined]


@pytest.mark.parametrize(("percent", "is_within"), [("25", True), ("20", False)])
def test_a_fifth_may_be_twenty_percent_on_top_or_twenty_five_within(percent: str, is_within: bool) -> None:
    rows = rows_of(8, Decimal(percent) / 100)
    open_ = asked(rows, is_within=is_within)
    assert open_.is_within is None  # type: ignore[attr-defined]
    assert open_.question.answered("on top") == ["--tax", "VAT=on top"]  # type: ignore[attr-defined]
    word = "Amount incl. VAT" if is_within else "Betrag netto"
    assert asked(rows, is_within=is_within, amount=word).is_within is is_within  # type: ignore[attr-defined]
    assert asked(rows, is_within=is_within, third="Other").is_within is is_within  # type: ignore[attr-defined]


def test_a_column_of_something_else_is_no_tax() -> None:
    rows = rows_of(9, Decimal("0.2"))
    assert asked(rows, is_within=False, tax="Fuel") is None
    rates = [(word, net, Decimal(20)) for word, net, _ in rows]
    assert asked(rates, is_within=False, tax="VAT rate") is None
    assert asked(rows[:2], is_within=False) is None
    as_rows = [("VAT 20 %" if at % 2 else word, *money) for at, (word, *money) in enumerate(rows)]
    assert asked(as_rows, is_within=False) is None  # type: ignore[arg-type]


def test_it_can_be_stated() -> None:
    pairings = {name: Pairing(name, name, 1.0) for name in ("charge_code", "amount_cents")}
    found = [stated_tax(f"VAT = 20={place}", pairings) for place in ("within", "on top", "no")]
    assert [found and (found.tax, found.is_within) for found in found] == [
        ("VAT = 20", True),
        ("VAT = 20", False),
        None,
    ]
    with pytest.raises(ColumnMapError, match="within, on top, no"):
        stated_tax("VAT", pairings)
    with pytest.raises(ColumnMapError, match="no column for words and amounts"):
        stated_tax("VAT=within", {})
