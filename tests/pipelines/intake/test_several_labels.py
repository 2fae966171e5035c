"""Several numbers of labels in one cell are never one parcel. Spellings: common practice, no source."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path

import pytest

from models.cells.texts import IS_SEVERAL
from pipelines.intake import replaying
from pipelines.shop import warehouse
from tests.pipelines.intake.small_shop import SmallShop, source

NAMES = ("sale_id", "line_number", "sold_at", "item_type", "quantity", "item_price_cents", "shipping_charged_cents")
ORDERS = source("orders", "sales", "orders*", {name: name for name in (*NAMES, "parcel_id")}, decimal=".")
SEVERAL = (
    "1Z999AA10123456784; 1Z999AA10123456795",
    "NL40017733,NL40017734",
    "NL40017733 | NL40017734 | NL40017735",
    "OV41007 & OV41008",
    "OV41007 and OV41008",
    "OV41007 / OV41008;",
    "NL4001773300 NL4001773400",
    "003404341600000001+003404341600000002",
)
ONE = (
    "1Z 999 AA1 01 2345 6784",
    "9400 1000 0000 0000 0000 00",
    "JJD00 0390 0078 1234 5678",
    "RR 123 456 785 DE",
    "2026/10482",
    "NL-4001-7733",
    "OV41007 (2)",
    "A, B",
    "12345678",
)


def orders(*labels: str) -> str:
    rows = [f'S-{at},1,2026-10-01,tripod,2,10.00,4.00,"{label}"' for at, label in enumerate(labels)]
    return "\n".join([",".join((*NAMES, "parcel_id")), *rows, ""])


@pytest.fixture
def shop(tmp_path: Path) -> SmallShop:
    return SmallShop(tmp_path, [ORDERS])


def test_numbers_written_together_are_rejected_with_what_to_do(shop: SmallShop) -> None:
    shop.take_one("orders.csv", orders(*SEVERAL))
    assert [row[1:] for row in shop.rejected()] == [("parcel_id", IS_SEVERAL)] * len(SEVERAL)
    assert shop.rows("select 1 from accepted.sales") == []


def test_one_number_is_one_however_it_is_grouped(shop: SmallShop) -> None:
    shop.take_one("orders.csv", orders(*ONE))
    assert shop.rejected() == []
    assert sorted(row[0] for row in shop.rows("select parcel_id from accepted.sales")) == sorted(ONE)


def test_a_delivery_of_before_is_read_as_it_was(shop: SmallShop) -> None:
    shop.take_one("orders.csv", orders(*SEVERAL))
    path = shop.folder / "archive" / "delivery-000001.json"
    entry = json.loads(path.read_text(encoding="utf-8"))
    del entry["is_parted"]
    text = json.dumps(entry).encode()
    path.write_bytes(text)
    with warehouse.writing(shop.settings, "test") as connection:
        connection.execute("update intake.archived set entry_hash = ?", [hashlib.sha256(text).hexdigest()])
    compared = replaying.compare(shop.settings).set_index("record_table")
    assert compared.loc["accepted.sales", "replayed_count"] == len(SEVERAL)
