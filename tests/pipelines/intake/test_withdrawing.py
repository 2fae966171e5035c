"""A delivery taken back: what the others say stands, history and replay agree, and its file can come again."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from models.errors import ArchiveError, IntakeError, NotFoundError
from pipelines.build import last_build
from pipelines.cli import main
from pipelines.intake import importing, replaying
from pipelines.intake.withdrawing import Withdrawal, withdraw
from pipelines.shop import warehouse
from tests.pipelines.intake.small_shop import NOW, SKUS, SmallShop, lines, renamed
from tests.sampling import tries
from tests.shops import build_tables

HEAD = "Stock no,Kind,Shelf\n"
HISTORY = "select sku, item_type, delivery_id, superseded_by from superseded.skus order by all"
OPEN = (
    "select d.file_name, r.row_number from rejected.rows as r inner join intake.deliveries as d using (delivery_id) "
    "where r.resolved_by is null order by all"
)
Rows = Sequence[tuple[str, str]]


def take_back(shop: SmallShop, delivery_id: int) -> Withdrawal:
    return withdraw(shop.settings, delivery_id, now=NOW)


def current(shop: SmallShop) -> list[tuple[Any, ...]]:
    return shop.rows("select sku, item_type, delivery_id from accepted.skus order by all")


def differing(shop: SmallShop) -> int:
    return int(replaying.compare(shop.settings)["differing_count"].sum())


def test_a_wrong_column_map_is_taken_back_and_the_file_taken_in_again(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path)
    shop.take_one("skus-1.csv", HEAD + "A,tripod,\nB,mount,\n")
    shop.take_one("skus-2.csv", HEAD + "A,shelf 1,tube\nC,shelf 2,mount\nD,,tube\n")
    done = take_back(shop, 2)
    assert (done.withdrawal_id, done.file_name) == (3, "skus-2.csv")
    assert (done.taken_back_count, done.restored_count, done.closed_count, done.reopened_count) == (2, 1, 1, 0)
    assert current(shop) == [("A", "tripod", 1), ("B", "mount", 1)]
    assert shop.rows(HISTORY) == [("A", "shelf 1", 2, 3), ("C", "shelf 2", 2, 3)]
    assert shop.rejected() == [] and differing(shop) == 0
    by_shelf = renamed(SKUS, columns={**SKUS.columns, "item_type": renamed(SKUS.columns["item_type"], column="Shelf")})  # type: ignore[arg-type]
    shop.sources = [by_shelf]
    again = shop.take_one("skus-2.csv", HEAD + "A,shelf 1,tube\nC,shelf 2,mount\nD,,tube\n")
    assert not again.is_known and again.delivery_id == 4
    assert current(shop) == [("A", "tube", 4), ("B", "mount", 1), ("C", "mount", 4), ("D", "tube", 4)]
    assert differing(shop) == 0


def test_a_row_replaced_by_a_withdrawn_delivery_stays_in_history_for_good(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path)
    for number, said in enumerate(("tripod", "tube", "mount"), 1):
        shop.take_one(f"skus-{number}.csv", HEAD + f"A,{said},\n")
    assert take_back(shop, 2).taken_back_count == 0
    assert current(shop) == [("A", "mount", 3)]
    assert take_back(shop, 3).restored_count == 1
    assert current(shop) == [("A", "tripod", 1)]
    assert take_back(shop, 1).restored_count == 0
    assert current(shop) == [] and differing(shop) == 0


def test_a_row_that_changed_nothing_counts_once_its_first_is_gone(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path)
    shop.take_one("skus-1.csv", HEAD + "A,tripod,\n")
    shop.take_one("skus-2.csv", HEAD + "A,tube,\nB,mount,\n")
    shop.take_one("skus-3.csv", HEAD + "A,tube,3\n")
    assert take_back(shop, 2).restored_count == 1
    assert current(shop) == [("A", "tube", 3)]
    assert shop.rows("select accepted_count, unchanged_count from intake.deliveries where delivery_id = 3") == [(1, 0)]
    assert take_back(shop, 3).restored_count == 1
    assert current(shop) == [("A", "tripod", 1)] and differing(shop) == 0


def test_what_it_answered_is_open_again_unless_a_later_delivery_answers_too(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path)
    shop.take_one("skus-1.csv", HEAD + "A,,\nB,,\n")
    shop.take_one("skus-2.csv", HEAD + "A,tube,\nB,mount,\n")
    shop.take_one("skus-3.csv", HEAD + "B,tube,\n")
    assert shop.rejected() == []
    done = take_back(shop, 2)
    assert (done.taken_back_count, done.restored_count, done.reopened_count) == (1, 0, 1)
    assert shop.rows(OPEN) == [("skus-1.csv", 1)] and differing(shop) == 0


def test_what_cannot_be_withdrawn_is_said_and_changes_nothing(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path)
    shop.take_one("skus-1.csv", HEAD + "A,tube,\n")
    with pytest.raises(NotFoundError, match="delivery 2: is not in the warehouse"):
        take_back(shop, 2)
    take_back(shop, 1)
    with pytest.raises(IntakeError, match="was withdrawn already, on 2026-11-20"):
        take_back(shop, 1)
    with pytest.raises(NotFoundError, match="delivery 2: is not in"):  # the withdrawal's own number
        take_back(shop, 2)
    assert shop.rows("select count(*) from intake.withdrawals") == [(1,)]


def test_a_needed_file_that_the_archive_lacks_stops_it_as_a_whole(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path)
    shop.take_one("skus-1.csv", HEAD + "A,tube,\n")
    shop.take_one("skus-2.csv", HEAD + "A,tube,2\n")
    before = current(shop)
    (shop.folder / "archive" / "delivery-000002.json").unlink()
    with pytest.raises(ArchiveError, match=r"delivery-000002\.json is missing"):
        take_back(shop, 1)
    assert current(shop) == before and shop.rows("from intake.withdrawals") == []


def test_the_next_build_makes_everything_and_the_one_after_builds_on_it(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path)
    shop.take_one("skus-1.csv", HEAD + "A,tripod,\nB,mount,\n")
    shop.take_one("skus-2.csv", HEAD + "A,tube,\nC,tube,\n")
    counted = "select row_count from marts.record_states where kind = 'skus'"
    with warehouse.writing(shop.settings, "test") as connection:
        build_tables(connection, shop.settings)
        assert connection.execute(counted).fetchall() == [(3,)]
    take_back(shop, 2)
    with warehouse.writing(shop.settings, "test") as connection:
        assert not last_build.is_current(connection, shop.settings, last_build.NO_INPUTS)
        assert last_build.last_delivery(connection, shop.settings, last_build.NO_INPUTS) is None
        build_tables(connection, shop.settings)
        assert connection.execute(counted).fetchall() == [(2,)]
        assert last_build.is_current(connection, shop.settings, last_build.NO_INPUTS)
        # The withdrawal's own number: what it moved is no change since that build.
        assert last_build.last_delivery(connection, shop.settings, last_build.NO_INPUTS) == 3
        counted = "select delivery_count from marts.record_states where kind = 'skus'"
        assert connection.execute(counted).fetchall() == [(1,)]


SETTINGS = """
[[source]]
name = "stock"
kind = "skus"
files = "skus*.csv"
[source.columns]
sku = "Stock no"
item_type = "Kind"
"""


def test_the_command_tells_what_it_did(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    def dunnage(*words: str) -> tuple[int, str]:
        code = main(["--shop", str(tmp_path), *words])
        caught = capsys.readouterr()
        return code, " ".join((caught.out + caught.err).split())

    (tmp_path / "dunnage.toml").write_text(SETTINGS, encoding="utf-8")
    shop = SmallShop(tmp_path)
    shop.put("skus-1.csv", HEAD + "A,tripod,\n")
    shop.put("skus-2.csv", HEAD + "A,tube,\nB,mount,\nC,,\n")
    code, reported = dunnage("intake")
    assert code == 0 and "2 skus-2.csv 3 2" in reported
    code, reported = dunnage("intake", "--withdraw", "2")
    assert code == 0
    assert "delivery 2 (skus-2.csv): 2 rows taken back, 1 corrected row is as before again" in reported
    assert "of its rejected rows 1 are closed" in reported
    code, reported = dunnage("intake", "--list")
    assert code == 0 and "2 skus-2.csv withdrawn " in reported and " 3 2 stock 1 1 skus-1.csv " in reported
    code, reported = dunnage("intake", "--withdraw", "2")
    assert code == 1 and "was withdrawn already" in reported and "dunnage intake FILE" in reported
    code, reported = dunnage("intake", "--withdraw", "9")
    assert code == 1 and "delivery 9" in reported and "dunnage intake --list" in reported
    code, reported = dunnage("intake", "--withdraw", "1", "--again")
    assert code == 1 and "goes with no file and no other option" in reported
    with pytest.raises(SystemExit) as ended:
        dunnage("intake", "--withdraw", "skus-1.csv")
    assert ended.value.code == 2 and "is not a whole number" in capsys.readouterr().err
    code, reported = dunnage("intake")
    assert code == 0 and "4 skus-2.csv 3 2" in reported and "the same content was imported as skus-1.csv" in reported


# An empty kind is rejected.
ROWS = st.tuples(st.sampled_from("AB"), st.sampled_from(["x", "y", ""]))
FILES = st.lists(st.lists(ROWS, min_size=1, max_size=3), min_size=2, max_size=4)


def landed(shop: SmallShop, files: Sequence[Rows], numbers: Sequence[int]) -> None:
    """Land these of the files in one go; a remark nobody maps makes each file's content its own."""
    with warehouse.writing(shop.settings, "test") as connection:
        for number in numbers:
            text = f"Stock no,Kind,Remark {number}\n" + lines((*row, "") for row in files[number])
            path = shop.put(f"skus-{number}.csv", text)
            (delivery,) = importing.import_files(shop.settings, [path], now=NOW, connection=connection)
            assert delivery.error is None and not delivery.is_known


def reported(files: Sequence[Rows], numbers: Sequence[int]) -> dict[str, str]:
    """What was said last of each key, in plain words."""
    return {sku: kind for number in numbers for sku, kind in files[number] if kind}


def state(shop: SmallShop) -> tuple[list[tuple[Any, ...]], list[tuple[Any, ...]]]:
    return shop.accepted(), shop.rows(OPEN)


@given(FILES, st.lists(st.integers(0, 3), min_size=1, max_size=2, unique=True))
@example([[("A", "x")], [("A", "x")], [("A", "y")]], [0, 2])
@example([[("A", "")], [("A", "x")], [("A", "")]], [1, 2])
@settings(derandomize=True, deadline=None, max_examples=tries(8, fewest=1))
def test_the_others_stand_as_if_it_had_never_come(files: list[list[tuple[str, str]]], gone: list[int]) -> None:
    gone = [number for number in gone if number < len(files)]
    others = [number for number in range(len(files)) if number not in gone]
    with TemporaryDirectory() as folder, TemporaryDirectory() as elsewhere:
        shop, without = SmallShop(Path(folder)), SmallShop(Path(elsewhere))
        landed(shop, files, range(len(files)))
        for number in gone:
            take_back(shop, number + 1)
        landed(without, files, others)
        assert dict(shop.accepted()) == reported(files, others)
        assert state(shop) == state(without)
        assert shop.rows(
            "select (select sum(row_count) from intake.deliveries) - (select count(*) from accepted.skus) "
            "- (select count(*) from superseded.skus) - (select count(*) from rejected.rows) "
            "- (select sum(unchanged_count) from intake.deliveries)"
        ) == [(0,)]
        landed(shop, files, gone)
        landed(without, files, gone)
        assert shop.accepted() == without.accepted()
        assert differing(shop) == 0


def test_a_lost_warehouse_comes_back_with_its_withdrawals(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path)
    shop.take_one("skus-1.csv", HEAD + "A,tripod,\nB,,\n")
    shop.take_one("skus-2.csv", HEAD + "A,tube,\nB,mount,\n")
    take_back(shop, 2)
    queries = ("from intake.withdrawals", "from rejected.rows", HISTORY)
    before = (current(shop), *map(shop.rows, queries))
    (shop.folder / "warehouse.duckdb").unlink()
    assert replaying.rebuild(shop.settings) == 2
    assert (current(shop), *map(shop.rows, queries)) == before
    assert shop.take_one("skus-3.csv", HEAD + "C,tube,\n").delivery_id == 4
