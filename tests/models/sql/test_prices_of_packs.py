"""A list of cartons whose prices are of whole packs: drawn entries against plain division."""

from __future__ import annotations

import random
from decimal import ROUND_HALF_UP, Decimal

from models.column_map import Pairing, Sample, open_questions, propose
from models.reference import RECORDS
from tests.shops import built, rows


def drawn(number: int) -> dict[str, object]:
    draw = random.Random(number)
    return {
        "carton_code": f"C{number:02}",
        "unit_cost_cents": draw.randrange(50, 9_000),
        "pack_quantity": draw.choice([1, 10, 20, 25, 50]),
        "is_price_of_several": draw.choice([True, False, None]),
    }


def test_a_carton_costs_its_share_of_the_pack() -> None:
    stated = [drawn(number) for number in range(60)]
    with built(cartons=stated, needed=("core.cartons",)) as connection:
        found = rows(connection, "select carton_code, unit_cost_cents from core.cartons order by carton_code")
    for entry, row in zip(stated, found, strict=True):
        cents = Decimal(str(entry["unit_cost_cents"]))
        share = cents / Decimal(str(entry["pack_quantity"])) if entry["is_price_of_several"] else cents
        assert row["unit_cost_cents"] == int(share.quantize(Decimal(1), ROUND_HALF_UP)), entry


LIST = ("Code", "Length mm", "Width mm", "Height mm", "Per bundle")
ROWS = (("T110", "1100", "120", "120", "25", "41.25"), ("F55", "550", "420", "70", "20", "33.80"))


def asked(price: str) -> list[str]:
    sample = Sample((*LIST, price), ROWS)
    stated = {"unit_cost_cents": Pairing("unit_cost_cents", price, 1.0)}
    proposal = propose(RECORDS["cartons"], sample, stated=stated)
    return [each.words for each in open_questions(proposal, RECORDS["cartons"], sample) if "together" in each.words]


def test_a_price_whose_header_speaks_of_packs_is_asked_about() -> None:
    assert asked("Bundle price ex VAT") == [
        'Is "Bundle price ex VAT" what all pieces of "Per bundle" cost together, not the price of one carton?'
    ]
    assert asked("Price each") == []
