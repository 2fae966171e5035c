"""New, unchanged, corrected: what a delivery does to the rows accepted before, and to their history."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import permutations
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.errors import IntakeError
from pipelines.intake import importing
from pipelines.intake.deliveries import Delivery
from pipelines.intake.staging import Staged
from pipelines.intake.storing import Counts, _refuse_loss
from pipelines.shop import repeats, warehouse
from tests.pipelines.intake.small_shop import NOW, SmallShop, lines
from tests.sampling import tries

HEAD = "Stock no,Kind\n"
HISTORY = "select sku, item_type, delivery_id, row_number, superseded_by from superseded.skus order by all"


def counts(delivery: Delivery) -> tuple[int, int, int, int, int]:
    return (
        delivery.row_count,
        delivery.accepted_count,
        delivery.corrected_count,
        delivery.unchanged_count,
        delivery.rejected_count,
    )


def test_a_file_landed_twice_changes_nothing(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path)
    shop.take_one("skus.csv", HEAD + "A,tripod\nB,\n")
    before = (shop.accepted(), shop.rejected(), shop.rows("from intake.deliveries"))
    shop.put("skus-copy.csv", HEAD + "A,tripod\nB,\n")
    first, second = shop.import_files()
    assert first.is_known and second.is_known and "same content" in second.notes[0]
    assert (shop.accepted(), shop.rejected(), shop.rows("from intake.deliveries")) == before


def test_the_same_content_again_where_it_is_asked_for(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path)
    shop.take_one("skus.csv", HEAD + "A,tripod\n")
    assert counts(shop.take_one("skus.csv", HEAD + "A,tripod\n", again=True)) == (1, 0, 0, 1, 0)


def test_another_file_may_have_the_same_name(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path)
    shop.take_one("skus.csv", HEAD + "A,tripod\n")
    assert counts(shop.take_one("skus.csv", HEAD + "B,tripod\n")) == (1, 1, 0, 0, 0)
    assert len(shop.accepted()) == 2


def test_a_correction_wins_and_history_is_kept(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path)
    shop.take_one("skus-1.csv", HEAD + "A,tripod\nB,mount\n")
    assert counts(shop.take_one("skus-2.csv", HEAD + "A,tube\nB,mount\nC,tube\n")) == (3, 2, 1, 1, 0)
    assert shop.accepted() == [("A", "tube"), ("B", "mount"), ("C", "tube")]
    assert shop.rows(HISTORY) == [("A", "tripod", 1, 1, 2)]
    assert shop.rows("select delivery_id, row_number from accepted.skus order by sku") == [(2, 1), (1, 2), (2, 3)]


def test_an_old_row_that_comes_back_is_a_correction_back(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path)
    shop.take_one("skus-1.csv", HEAD + "A,tripod\n")
    shop.take_one("skus-2.csv", HEAD + "A,tube\n")
    assert counts(shop.take_one("skus-3.csv", HEAD + "A,tripod\n\n")) == (1, 1, 1, 0, 0)
    assert shop.accepted() == [("A", "tripod")]
    assert shop.rows(HISTORY) == [("A", "tripod", 1, 1, 2), ("A", "tube", 2, 1, 3)]


def test_a_key_repeated_in_one_file(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path)
    delivery = shop.take_one("skus.csv", HEAD + "A,tripod\nA,tripod\nA,tube\nA,tripod\nB,mount\n")
    assert counts(delivery) == (5, 4, 2, 1, 0)
    assert shop.accepted() == [("A", "tripod"), ("B", "mount")]
    assert shop.rows(HISTORY) == [("A", "tripod", 1, 1, 1), ("A", "tube", 1, 3, 1)]
    # After a row accepted before: the first repetition of it changes nothing.
    assert counts(shop.take_one("skus-2.csv", HEAD + "A,tripod\nA,tube\nA,tube\n")) == (3, 1, 1, 2, 0)
    assert shop.accepted() == [("A", "tube"), ("B", "mount")]


def test_keys_repeated_in_a_file_that_is_sorted_in_parts(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(repeats, "_SORTED_AT_ONCE", 7)
    shop = SmallShop(tmp_path)
    keys = [f"K{number % 30}" for number in range(50)]
    delivery = shop.take_one("skus.csv", HEAD + lines((key, f"kind {number}") for number, key in enumerate(keys)))
    assert counts(delivery) == (50, 50, 20, 0, 0)
    assert shop.accepted() == sorted((f"K{number}", f"kind {number + 30 * (number < 20)}") for number in range(30))


ROWS = st.tuples(st.sampled_from("ABC"), st.sampled_from(["x", "y", ""]))
FILES = st.lists(st.lists(ROWS, min_size=1, max_size=6), min_size=1, max_size=4)


def reported(files: Sequence[Sequence[tuple[str, str]]]) -> tuple[dict[str, str], list[tuple[int, int, int, int, int]]]:
    """The rules in plain words: rows one after the other, each against the one current for its key."""
    current: dict[str, str] = {}
    counted = []
    for rows in files:
        accepted = corrected = unchanged = rejected = 0
        for sku, kind in rows:
            if not kind:
                rejected += 1
            elif current.get(sku) == kind:
                unchanged += 1
            else:
                corrected += sku in current
                accepted += 1
                current[sku] = kind
        counted.append((len(rows), accepted, corrected, unchanged, rejected))
    return current, counted


@given(FILES)
@settings(derandomize=True, deadline=None, max_examples=tries(60))
def test_landing_is_the_same_as_row_after_row(files: list[list[tuple[str, str]]]) -> None:
    with TemporaryDirectory() as folder, warehouse.scratch() as connection:
        shop = SmallShop(Path(folder))
        landed = []
        for number, rows in enumerate(files):
            # A remark nobody maps makes each file's content its own.
            path = shop.put(
                f"skus-{number}.csv", f"Stock no,Kind,Remark {number}\n" + lines((*row, "") for row in rows)
            )
            landed += importing.import_files(shop.settings, [path], now=NOW, connection=connection)
        current, counted = reported(files)
        assert [counts(delivery) for delivery in landed] == counted
        assert dict(connection.execute("select sku, item_type from accepted.skus").fetchall()) == current
        rows_in = connection.execute("select sum(row_count) from intake.deliveries").fetchall()[0][0]
        kept = connection.execute(
            "select (select count(*) from accepted.skus) + (select count(*) from superseded.skus) "
            "+ (select count(*) from rejected.rows) + (select sum(unchanged_count) from intake.deliveries)"
        ).fetchall()[0][0]
        assert rows_in == kept


def test_files_of_different_keys_land_the_same_in_any_order() -> None:
    files = {f"skus-{n}.csv": HEAD + f"A{n},tripod\nB{n},\nC{n},tube\n" for n in range(3)}
    found = set()
    for order in permutations(files):
        with TemporaryDirectory() as folder, warehouse.scratch() as connection:
            shop = SmallShop(Path(folder))
            for name in order:
                importing.import_files(shop.settings, [shop.put(name, files[name])], now=NOW, connection=connection)
            rows = connection.execute("select sku, item_type, row_number from accepted.skus order by all").fetchall()
            refused = connection.execute("select source_text, reason from rejected.rows order by all").fetchall()
            found.add((tuple(rows), tuple(refused)))
    assert len(found) == 1


def test_a_correction_sorts_after_the_file_it_corrects(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path)
    shop.put("skus-2026-07-corrected.csv", HEAD + "A,tube\n")
    shop.put("skus-2026-07.csv", HEAD + "A,tripod\n")
    shop.import_files()
    assert shop.accepted() == [("A", "tube")]


def test_a_lost_row_stops_the_delivery(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with pytest.raises(IntakeError, match="5 rows came in"):
        _refuse_loss(Counts(5, 3, 0, 1, 1, 0), 2, Staged("skus", (), (), 5, 1, 0, 0))
    shop = SmallShop(tmp_path)
    monkeypatch.setattr("pipelines.intake.storing._insert", lambda *_: 0)
    assert "must never get lost" in shop.refused("skus.csv", HEAD + "A,tripod\n")
    assert shop.accepted() == [] and shop.rows("from intake.deliveries") == []


def test_a_delivery_is_entered_with_all_that_is_known_of_it(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path)
    delivery = shop.take_one("skus.csv", "Stock no,Kind,Buyer name\nA,tripod,x\nB,,y\n")
    assert shop.rows("from intake.deliveries") == [
        (1, "stock", "skus", "skus.csv", delivery.content_hash, 41, NOW, 2, 1, 0, 0, 1, '{"Buyer name": "names"}')
    ]
