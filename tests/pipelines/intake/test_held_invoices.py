"""A file that gives another invoice's lines to other parcels waits; a corrected invoice keeps its parcels."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import pytest

from pipelines.intake import replaying
from pipelines.intake.withdrawing import withdraw
from pipelines.shop.settings import ColumnSource
from tests.pipelines.intake.small_shop import NOW, SmallShop, source

HEAD = "Doc,Doc date,Consignment,Item,Pounds\n"
COLUMNS: dict[str, str | ColumnSource] = {
    "carrier": ColumnSource(value="Skerrow"),
    "invoice_number": ColumnSource(value="A7"),
    "line_number": ColumnSource(row=True),
    "invoiced_on": "Doc date",
    "parcel_id": "Consignment",
    "charge_code": "Item",
    "amount_cents": "Pounds",
}
ONE_NUMBER = source("skerrow", "charges", "skerrow*", COLUMNS)
OWN_NUMBER = source("skerrow", "charges", "skerrow*", {**COLUMNS, "invoice_number": "Doc"})
Line = tuple[str, str]


def bill(lines: Sequence[Line], number: str = "A7") -> str:
    rows = (f"{number},2026-10-31,{parcel},carriage,{amount}\n" for parcel, amount in lines)
    return HEAD + "".join(rows)


def billed(first: int, count: int) -> list[Line]:
    chance = random.Random(first)
    return [(f"SK{number}", f"{chance.randint(400, 3000) / 100:.2f}") for number in range(first, first + count)]


def total(shop: SmallShop) -> int:
    return int(shop.rows("select sum(amount_cents) from accepted.charges")[0][0])


def cents(lines: Sequence[Line]) -> int:
    return sum(round(float(amount) * 100) for _, amount in lines)


@pytest.fixture
def shop(tmp_path: Path) -> SmallShop:
    return SmallShop(tmp_path, [ONE_NUMBER])


def differing(shop: SmallShop) -> int:
    return int(replaying.compare(shop.settings)["differing_count"].sum())


@pytest.mark.parametrize("count", [1, 2, 9, 14])
def test_an_invoice_under_the_number_of_another_waits_and_nothing_of_it_is_kept(shop: SmallShop, count: int) -> None:
    shop.take_one("skerrow-1.csv", bill(billed(100, 9)))
    archived = sorted(shop.settings.path("archive").iterdir())
    said = shop.refused("skerrow-2.csv", bill(billed(200, count)))
    known = min(count, 9)
    assert f"of {known} line{'s' * (known > 1)} that are on record under number 'A7'" in said
    assert f"{known} would go to parcels" in said and "from parcels of skerrow-1.csv, delivery 1," in said
    assert "one invoice_number 'A7'" in said
    assert total(shop) == cents(billed(100, 9))
    assert sorted(shop.settings.path("archive").iterdir()) == archived
    assert shop.rows("select count(*) from superseded.charges") == [(0,)] and differing(shop) == 0


def test_once_each_invoice_has_its_number_both_files_are_taken_in(shop: SmallShop) -> None:
    shop.take_one("skerrow-1.csv", bill(billed(100, 9)))
    assert "`dunnage intake --withdraw 1`" in shop.refused("skerrow-2.csv", bill(billed(200, 7), "A8"))
    shop.sources = [OWN_NUMBER]
    withdraw(shop.settings, 1, now=NOW)
    assert [each.corrected_count for each in shop.import_files()] == [0, 0]
    assert total(shop) == cents([*billed(100, 9), *billed(200, 7)]) and differing(shop) == 0


@pytest.mark.parametrize("said", [ONE_NUMBER, OWN_NUMBER], ids=["one number", "own number"])
def test_a_corrected_invoice_is_taken_in(shop: SmallShop, said: object) -> None:
    shop.sources = [said]  # type: ignore[list-item]
    first = billed(100, 9)
    shop.take_one("skerrow-1.csv", bill(first))
    dearer = [(parcel, f"{float(amount) + 1:.2f}") for parcel, amount in first]
    some = [(f"SX{place}" if place < 4 else parcel, amount) for place, (parcel, amount) in enumerate(dearer)]
    turned = list(reversed(some))
    fewer, more = turned[::2], [*billed(300, 3), *turned]
    for place, again in enumerate((dearer, some, turned, fewer, more), 2):
        assert shop.take_one(f"skerrow-{place}.csv", bill(again)).corrected_count > 0
    assert total(shop) == cents(more) and differing(shop) == 0


def test_a_carriers_own_number_may_put_a_line_or_two_right_for_other_parcels(shop: SmallShop) -> None:
    shop.sources = [OWN_NUMBER]
    shop.take_one("skerrow-1.csv", bill(billed(100, 2)))
    assert shop.take_one("skerrow-2.csv", bill(billed(200, 2))).corrected_count == 2


def test_a_number_that_is_not_the_invoices_own_is_held_until_the_earlier_one_is_taken_back(shop: SmallShop) -> None:
    shop.sources = [OWN_NUMBER]
    shop.take_one("skerrow-1.csv", bill([*billed(100, 9)]))
    several = bill(billed(500, 5), "A9") + bill(billed(200, 6)).removeprefix(HEAD)
    shop.take_one("skerrow-3.csv", bill([("SK1", "2.00")] * 11, "A9"))
    said = shop.refused("skerrow-2.csv", several)
    assert "dunnage intake --withdraw 1" not in said and "number 'A9'" in said
    withdraw(shop.settings, 2, now=NOW)
    assert "dunnage intake --withdraw 1" in (again := shop.refused("skerrow-2.csv", several)) and "'A7'" in again
    withdraw(shop.settings, 1, now=NOW)
    shop.take_one("skerrow-2.csv", several)
    assert total(shop) == cents([*billed(500, 5), *billed(200, 6)]) and differing(shop) == 0


def test_the_same_file_by_a_corrected_map_is_taken_in_and_names_other_parcels(shop: SmallShop) -> None:
    columns = ONE_NUMBER.columns
    shop.sources = [replace(ONE_NUMBER, columns={**columns, "parcel_id": ColumnSource("Pounds")})]
    shop.take_one("skerrow-1.csv", bill(billed(100, 9)))
    shop.sources = [ONE_NUMBER]
    (again,) = shop.import_files("skerrow-1.csv", again=True)
    assert again.error is None and again.corrected_count == 9
    assert shop.rows("select count(*) from accepted.charges where parcel_id like 'SK%'") == [(9,)]


def test_rows_sent_again_after_their_rejection_keep_their_place(shop: SmallShop) -> None:
    first = billed(100, 6)
    shop.take_one("skerrow-1.csv", bill([*first[:3], ("SK900", "1O.00"), *first[3:]]))
    again = shop.take_one("skerrow-1b.csv", "reject_ref," + bill([("SK900", "10.00")]).replace("\nA7", "\n1:4,A7"))
    assert (again.corrected_count, again.resolved_count) == (0, 1)
    assert total(shop) == cents(first) + 1000 and differing(shop) == 0
