"""Twenty parcels a month, orders with titles, one carrier's invoices and its label history: every figure to the cent.

Everything is said by commands; no file is edited. The sums are those of the generator's own books.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from pipelines.cli import main
from pipelines.shop import warehouse
from pipelines.shop.settings import load
from tests.pipelines.order_shop import CARRIER, KINDS, MONTHS, WORDS, Books, books, write
from tests.shops import rows

CLASSES = ((1, "up to 1 lb"), (5, "up to 5 lb"), (10, "up to 10 lb"), (20, "up to 20 lb"), (50, "up to 50 lb"))
SIDES = ((12, "up to 12 in"), (24, "up to 24 in"), (36, "up to 36 in"), (48, "up to 48 in"), (72, "up to 72 in"))


@pytest.fixture(scope="module")
def made() -> Books:
    return books(1)


@pytest.fixture(scope="module")
def said(made: Books, tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Path, dict[str, str]]]:
    """The shop's folder after the owner's few commands, and what each of them printed."""
    folder = tmp_path_factory.mktemp("orders")
    write(folder / "exports", made)
    shop, printed = folder / "shop", {}
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("COLUMNS", "200")
        for name, words in commands(folder, shop).items():
            printed[name] = spoken(words)
            if name == "bench list":
                mark(shop)
    yield shop, printed


def commands(folder: Path, shop: Path) -> dict[str, list[str]]:
    """In the order in which the owner gives them."""
    here, exports = ["--shop", str(shop)], folder / "exports"
    constant = ["--constant", f"carrier={CARRIER}"]
    rules = [word for kind in KINDS for word in ("--rule", f"{kind}={kind}")]
    answers = [word for said, kind in WORDS.items() for word in ("--word", f"{said}={kind}")]
    return {
        "init": [
            "init",
            str(shop),
            "--name",
            "Wharf",
            "--currency",
            "USD",
            "--time-zone",
            "UTC",
            "--wage",
            "0",
            "--units",
            "inch",
        ],
        "map orders": [*here, "map", str(exports / "orders.csv"), "--as", "sales", "--write"],
        "map invoice": [*here, "map", str(exports / "invoice.csv"), "--as", "charges", *constant, "--write"],
        "map labels": [*here, "map", str(exports / "labels.csv"), "--as", "labels", *constant, "--write"],
        "intake": [*here, "intake", *(str(exports / f"{name}.csv") for name in ("orders", "invoice", "labels"))],
        "titles": [*here, "titles"],
        "rules": [*here, "titles", *rules],
        "charges": [*here, "charges", *answers],
        "bench list": [*here, "bench-list", "--days", "100"],
        "marked": [*here, "intake"],
        "bench list again": [*here, "bench-list", "--days", "100"],
        "review": [*here, "review", "2026-10"],
    }


def mark(shop: Path) -> None:
    """Fill in the bench list as the packer would, but for labels that were never used, and put it into the inbox."""
    (listed,) = (shop / "reviews").glob("bench-list-*.csv")
    head, *lines = csv.reader(listed.read_text(encoding="utf-8").splitlines())
    assert head == ["parcel_id", "sale_id", "carton_code", "packing_method", "assigned_method"]
    packed = [[label, "", "C-08", "foam", ""] for label, *_ in lines if label and not label.startswith("UNUSED")]
    with (shop / "inbox" / listed.name).open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows([head, *packed])


def spoken(words: list[str]) -> str:
    """What a command prints; it must end well."""
    import contextlib
    import io

    written = io.StringIO()
    with contextlib.redirect_stdout(written):
        assert main(words) == 0, written.getvalue()
    return " ".join(written.getvalue().split())


@pytest.fixture(scope="module")
def shop(said: tuple[Path, dict[str, str]]) -> Iterator[warehouse.Connection]:
    with warehouse.reading(load(said[0])) as connection:
        yield connection


def classed(pounds: int, side: int) -> str:
    """The class of a single piece, as its meaning says."""
    weight = next((name for most, name in CLASSES if pounds <= most), "over 50 lb")
    return f"{weight}, {next(name for most, name in SIDES if side <= most)}"


@pytest.fixture(scope="module")
def group_of(made: Books) -> dict[str, str]:
    billed = {line.parcel: line for line in made.lines}
    return {
        each.parcel: each.kind or classed(billed[each.parcel].pounds, billed[each.parcel].side)
        for each in made.orders
        if each.parcel in billed
    }


def by_month(found: list[dict[str, Any]], *names: str) -> dict[tuple[date, str], tuple[int, ...]]:
    return {(row["shipped_month"], row["item_type"]): tuple(row[name] for name in names) for row in found}


@pytest.mark.slow(20)
def test_nothing_was_rejected(shop: warehouse.Connection) -> None:
    assert rows(shop, "select * from rejected.rows") == []


def test_the_margin_by_group_is_that_of_the_books(
    shop: warehouse.Connection, made: Books, group_of: dict[str, str]
) -> None:
    found = rows(shop, "select * from marts.item_type_costs")
    assert by_month(found, "parcel_count", "billed_cents", "margin_cents") == made.margins(group_of)
    assert len({row["item_type"] for row in found}) > len(KINDS) + 1


def test_quoted_against_billed_is_that_of_the_books(
    shop: warehouse.Connection, made: Books, group_of: dict[str, str]
) -> None:
    found = rows(shop, "select * from marts.quoted_against_billed")
    assert by_month(found, "quoted_cents", "billed_cents") == made.quotes(group_of)


def test_every_word_of_the_invoices_has_its_cents_and_the_kind_that_was_said(
    shop: warehouse.Connection, made: Books
) -> None:
    asked = (
        "select charge_code, charge_kind, sum(amount_cents)::bigint as cents from marts.charge_word_costs group by all"
    )
    found = {row["charge_code"]: (row["charge_kind"], row["cents"]) for row in rows(shop, asked)}
    assert found == {word: (WORDS[word].split(":")[0], cents) for word, cents in made.word_costs().items()}
    (longest,) = rows(shop, "select distinct surcharge from marts.surcharge_frequency")
    assert longest == {"surcharge": "long side"}


def test_a_printed_list_of_three_marks_is_the_bench_log(
    said: tuple[Path, dict[str, str]], shop: warehouse.Connection, made: Books
) -> None:
    marked = "count(*) filter (packing_method = 'foam') as marked"
    asked = f"select count(*) as n, {marked} from core.parcels where has_bench_log"
    billed = {line.parcel for line in made.lines}
    packed = sum(
        1 for each in made.orders if each.parcel in billed and each.state == "Completed" and not each.is_referred
    )
    (found,) = rows(shop, asked)
    assert found["n"] == found["marked"] and found["n"] >= packed > 20
    assert rows(shop, "select * from core.undated_parcels") == []
    listed = int(re.search(r"(\d+) parcels to mark", said[1]["bench list"])[1])  # type: ignore[index]
    left = int(re.search(r"(\d+) parcels? to mark", said[1]["bench list again"])[1])  # type: ignore[index]
    assert listed - left == found["n"]
    page = next((said[0] / "reviews").glob("bench-list-*.html")).read_text(encoding="utf-8")
    assert "UNUSED0" in page and "Parcels to mark" in page


def test_labels_never_used_are_listed_and_voided_ones_are_not(shop: warehouse.Connection) -> None:
    found = rows(shop, "select parcel_id, quoted_cents, refund_by_on from marts.unused_labels order by 1")
    assert found == [
        {"parcel_id": f"UNUSED{n}", "quoted_cents": 1_000 + n, "refund_by_on": None} for n in range(len(MONTHS))
    ]


def test_sales_are_counted_by_what_became_of_them(shop: warehouse.Connection, made: Books) -> None:
    asked = "select sale_state, sum(line_count)::bigint as n from marts.sale_states group by all"
    found = {row["sale_state"]: row["n"] for row in rows(shop, asked)}
    assert found == {"sold": 51, "cancelled": 3, "returned": 3, "refunded": 3}


def test_intake_asks_for_the_words_with_the_most_money_first(said: tuple[Path, dict[str, str]], made: Books) -> None:
    costs = sorted(made.word_costs().items(), key=lambda pair: -pair[1])
    places = [said[1]["intake"].index(f"{CARRIER}: {word}, ${cents / 100:,.2f}") for word, cents in costs]
    assert places == sorted(places)
    assert "No word of an invoice on record is of unknown kind." in said[1]["charges"]


def test_titles_are_counted_and_rules_are_proposed_by_what_they_share(
    said: tuple[Path, dict[str, str]], made: Books
) -> None:
    before, after = said[1]["titles"], said[1]["rules"]
    assert re.search(r"on 60 sale lines", before)
    proposed = before.partition("confirm all")[0]
    assert all(word in proposed for word in ("sextant", "easel", "barometer"))
    single = sum(1 for each in made.orders if not each.kind)
    assert re.search(rf"on {single} sale lines", after)


def test_the_page_tells_it_in_dollars(said: tuple[Path, dict[str, str]], made: Books) -> None:
    page = (said[0] / "reviews" / "review-2026-10.html").read_text(encoding="utf-8")
    for words in ("brass sextant", "Oversz 48+", "UNUSED2", "Shipping refunded"):
        assert words in page
