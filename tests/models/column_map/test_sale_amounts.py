"""What an export of sales proves of its amounts, in layouts of the test's own."""

from __future__ import annotations

import random

import pytest

from models.column_map import Answers, Proposal, Question, Sample, open_questions, propose
from models.column_map.sale_amounts import OF_LINE, OF_SALE, SHIPPING
from models.reference import RECORDS
from pipelines.intake.mapping import stated_pairings

SALES = RECORDS["sales"]
HEADERS = ("Order", "Line", "Ordered on", "SKU", "Qty", "Item total", "Postage paid", "Fee")
OF_WHOLE = OF_SALE[SHIPPING]


def export(*, total: bool, repeated: bool, sign: str = "", draw: int = 1) -> Sample:
    """Thirty sales of one or two lines of one to three pieces. total: of lines. repeated: postage of the whole sale."""
    drawn = random.Random(draw)
    rows = []
    for number in range(30):
        paid = drawn.randrange(500, 3_000)
        for line in range(1, drawn.randrange(2, 4)):
            sku, pieces = drawn.choice(["PADDLE", "LAMP"]), drawn.choice([1, 1, 2, 3])
            price = 4_000 + 100 * len(sku)
            cents = price * (pieces if total else 1)
            postage = paid if repeated else paid + 10 * line
            amounts = (f"{sign}{each / 100:.2f}" for each in (cents, postage, cents // 10))
            rows.append((f"A{number}", str(line), f"2026-05-{number % 28 + 1:02}", sku, str(pieces), *amounts))
    return Sample(HEADERS, tuple(rows))


def proposed(sample: Sample, answers: Answers | None = None) -> tuple[Proposal, dict[str, str | None], list[Question]]:
    stated = stated_pairings(["item_price_cents=Item total"], [])
    found = propose(SALES, sample, (), stated, answers or Answers())
    flags = {each.column: each.constant for each in found.pairings if each.column.startswith("is_")}
    return found, flags, [each for each in open_questions(found, SALES, sample) if "is_" in each.option]


@pytest.mark.parametrize("sign", ["", "C$", "€", "kr "])
@pytest.mark.parametrize("draw", range(5))
def test_rows_prove_whether_a_price_is_of_a_line(sign: str, draw: int) -> None:
    assert proposed(export(total=True, repeated=True, sign=sign, draw=draw))[1] == {OF_LINE: "yes"}
    _, flags, asked = proposed(export(total=False, repeated=False, sign=sign, draw=draw))
    assert (flags, asked) == ({}, [])


def test_postage_that_is_the_same_on_all_lines_of_a_sale_is_asked_about() -> None:
    _, flags, (asked,) = proposed(export(total=True, repeated=True))
    assert OF_WHOLE not in flags
    assert asked.words.startswith('"Postage paid" is the same on all lines of a sale, in ')
    assert asked.answered("yes") == ["--constant", f"{OF_WHOLE}=yes"]
    assert asked.example == f"--constant {OF_WHOLE}=yes"


def test_a_total_of_goods_that_nobody_bought_singly_is_asked_about() -> None:
    sample = export(total=True, repeated=False)
    pairs = Sample(sample.headers, tuple(row for row in sample.rows if row[4] != "1"))
    _, flags, asked = proposed(pairs)
    assert OF_LINE not in flags
    assert asked[0].words == 'Is "Item total" what all pieces of a line cost together, not the price of one?'
    assert asked[0].example == f"--constant {OF_LINE}=..."


def test_a_few_lines_given_back_do_not_hide_that_the_others_repeat() -> None:
    sample = export(total=True, repeated=True)
    second = next(at for at, row in enumerate(sample.rows) if row[1] == "2")
    rows = [(*row[:6], "0.00", row[7]) if at == second else row for at, row in enumerate(sample.rows)]
    assert proposed(Sample(sample.headers, tuple(rows)))[2]


def test_one_line_a_sale_leaves_nothing_to_ask() -> None:
    sample = export(total=True, repeated=True)
    single = Sample(sample.headers, tuple(row for row in sample.rows if row[1] == "1"))
    _, flags, asked = proposed(single)
    assert (flags, asked) == ({OF_LINE: "yes"}, [])
