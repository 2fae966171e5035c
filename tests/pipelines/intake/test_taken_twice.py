"""A file that two sources of one kind would take counts once or not at all; rejected rows go back to their own."""

from __future__ import annotations

from pathlib import Path

import pytest

from pipelines.shop import warehouse
from tests.pipelines.intake.small_shop import SmallShop, source

HEADERS = {"sku": "Stock no", "item_type": "Kind"}
TEXT = "Stock no,Kind\nA1,tripod\n"


def shop_of(folder: Path, *sources: tuple[str, str, str]) -> SmallShop:
    """A shop with sources of name, kind and `files`."""
    (folder / "inbox").mkdir()
    return SmallShop(folder, tuple(source(name, kind, files, HEADERS) for name, kind, files in sources))


def test_a_file_of_two_sources_of_a_kind_is_refused_and_read_by_neither(tmp_path: Path) -> None:
    shop = shop_of(tmp_path, ("first", "skus", "list_1*"), ("second", "skus", "list_*"))
    shop.put("list_1.csv", TEXT)
    shop.put("list_2.csv", TEXT)
    refused, taken = shop.import_files()
    assert refused.error is not None
    assert "'first' (list_1*) and 'second' (list_*): its rows would count twice" in str(refused.error)
    assert "list_1.csv" in refused.error.next_step
    assert (taken.source_name, taken.accepted_count) == ("second", 1)
    with warehouse.reading(shop.settings) as connection:
        assert connection.execute("select count(*) from accepted.skus").fetchall() == [(1,)]


def test_a_source_that_is_named_takes_it_all_the_same(tmp_path: Path) -> None:
    shop = shop_of(tmp_path, ("first", "skus", "list_1*"), ("second", "skus", "list_*"))
    shop.put("list_1.csv", TEXT)
    (taken,) = shop.import_files("list_1.csv", source="first")
    assert (taken.source_name, taken.error) == ("first", None)


@pytest.mark.parametrize(
    ("name", "owner"), [("rejected-stock-2.csv", "stock"), ("rejected-stock-far-2.csv", "stock-far")]
)
def test_rejected_rows_go_back_to_the_source_that_they_came_from(tmp_path: Path, name: str, owner: str) -> None:
    shop = shop_of(tmp_path, ("stock", "skus", "*.csv"), ("stock-far", "skus", "far*"))
    shop.put(name, TEXT)
    (taken,) = shop.import_files()
    assert (taken.source_name, taken.error) == (owner, None)
