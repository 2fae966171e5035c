"""Amounts of a whole sale that stand on each of its lines, and prices of whole lines: many sales against plain Python.

The generator draws lines, pieces, states and what is stated; the referee adds up whole sales, as a shopkeeper would.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from itertools import groupby
from typing import Any

import pytest

from models.settings.shop import Shop
from tests.shops import built, rows

Sale = list[dict[str, Any]]
OF_SALE = {"is_shipping_of_sale": True, "is_fee_of_sale": True}


def drawn(number: int) -> Sale:
    """A sale of one to four lines that repeat what was paid for all of it."""
    draw = random.Random(number)
    paid, fee = draw.randrange(0, 5_000), draw.randrange(0, 3_000)
    given_back = draw.choice([None, draw.randrange(0, paid + 1)])
    tax = draw.choice([None, 0, paid - round(paid / 1.2)])
    return [
        {
            "sale_id": f"S{number:03}",
            "line_number": line,
            "quantity": draw.randrange(1, 5),
            "item_price_cents": draw.randrange(1, 20_000),
            "shipping_charged_cents": paid,
            "shipping_refunded_cents": given_back,
            "shipping_tax_cents": tax,
            "marketplace_fee_cents": fee,
            "sale_state": draw.choice(["sold", "sold", "returned", "refunded", "cancelled"]),
            "is_price_of_line": draw.choice([True, False, None]),
            **OF_SALE,
        }
        for line in range(1, draw.randrange(2, 6))
    ]


SALES = [drawn(number) for number in range(120)]


def stated(name: str, *amounts: int, **more: Any) -> Sale:
    """A sale whose lines state these amounts."""
    lines = enumerate(amounts, start=1)
    return [{"sale_id": name, "line_number": line, "shipping_charged_cents": cents, **more} for line, cents in lines]


def warned(*sales: Sale) -> list[dict[str, Any]]:
    with built(sales=[line for sale in sales for line in sale]) as connection:
        return rows(connection, "select row_count from analysis.warnings where warning = 'amounts on every line'")


@pytest.fixture(scope="module")
def sales() -> Iterator[dict[str, Sale]]:
    with built(sales=[line for sale in SALES for line in sale], needed=("core.sale_lines",)) as connection:
        found = rows(connection, "select * from core.sale_lines order by sale_id, line_number")
        yield {name: list(lines) for name, lines in groupby(found, lambda row: row["sale_id"])}


def test_a_sale_has_once_what_each_of_its_lines_repeats(sales: dict[str, Sale]) -> None:
    for stated in SALES:
        found = sales[stated[0]["sale_id"]]
        live = [line for line in stated if line["sale_state"] != "cancelled"]
        paid = stated[0]["shipping_charged_cents"] if live else 0
        tax = stated[0]["shipping_tax_cents"] or 0 if live else 0
        assert sum(line["shipping_charged_cents"] for line in found) == paid - tax, stated
        assert sum(line["shipping_tax_cents"] for line in found) == tax, stated
        assert sum(line["marketplace_fee_cents"] for line in found) == stated[0]["marketplace_fee_cents"], stated
        if stated[0]["shipping_refunded_cents"] is not None:
            given_back = stated[0]["shipping_refunded_cents"] if live else 0
            due = given_back * (paid - tax) / paid if tax else given_back  # tax goes back with what it is on
            # Parts of lines are rounded, each by half a cent, and the share of tax of each line by less than one.
            assert abs(sum(line["shipping_refunded_cents"] for line in found) - due) <= (
                2 * len(found) if tax else 0
            ), stated


def test_a_line_has_its_share_by_pieces_to_the_cent(sales: dict[str, Sale]) -> None:
    for stated in SALES:
        live = [line for line in stated if line["sale_state"] != "cancelled"]
        pieces = sum(line["quantity"] for line in live)
        for line, found in zip(stated, sales[stated[0]["sale_id"]], strict=True):
            due = line["shipping_charged_cents"] * line["quantity"] / pieces if line in live else 0
            assert abs(found["shipping_charged_cents"] + found["shipping_tax_cents"] - due) < 1, stated


def test_a_price_is_of_the_line_where_the_record_says_so(sales: dict[str, Sale]) -> None:
    for stated in SALES:
        worth = [line["item_price_cents"] * (1 if line["is_price_of_line"] else line["quantity"]) for line in stated]
        assert [line["goods_cents"] for line in sales[stated[0]["sale_id"]]] == worth


ALIKE = [stated(f"T{number}", 1_800, 1_800) for number in range(4)]
DIFFERING = stated("T-differ", 1_800, 600)


def test_alike_amounts_of_which_nothing_is_said_are_warned_of() -> None:
    others = (stated("T-none", 0, 0), stated("T-single", 1_800), stated("T-said", 9, 9, is_shipping_of_sale=False))
    assert warned(*ALIKE, DIFFERING, *others) == [{"row_count": 8}]


def test_a_shop_whose_lines_often_differ_states_shipping_by_line() -> None:
    assert warned(*ALIKE[:3], DIFFERING) == []


def test_the_shops_share_is_taken_where_a_sale_states_no_tax() -> None:
    """By hand: 24.00 with 20 percent on top of the rest holds 4.00; of 12.00 given back 2.00 was tax."""
    sales = [
        *stated("T1", 2_400, shipping_refunded_cents=1_200),
        *stated("T2", 2_400, shipping_tax_cents=0),
        *stated("T3", 2_400, 2_400, **OF_SALE, quantity=1),
    ]
    with built(Shop(shipping_tax_share=0.2), sales=sales, needed=("core.sale_lines",)) as connection:
        names = "shipping_charged_cents, shipping_tax_cents, shipping_refunded_cents"
        found = rows(connection, f"select {names} from core.sale_lines order by sale_id, line_number")
    assert [tuple(row.values()) for row in found] == [
        *((2_000, 400, 1_000), (2_400, 0, 0)),
        *((1_000, 200, 0), (1_000, 200, 0)),
    ]
