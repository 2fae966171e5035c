"""Orders, lines and products in files of their own: one source, joined by key."""

from __future__ import annotations

from pathlib import Path

import pytest

from pipelines.cli import main
from pipelines.intake.importing import import_files
from pipelines.shop import settings, warehouse
from tests.pipelines.intake.layouts import LAYOUTS
from tests.pipelines.intake.layouts.rendered import rendered
from tests.pipelines.intake.small_shop import NOW

SPLIT = {layout.name: layout for layout in LAYOUTS if len(layout.files) > 1}
ORDERS = "Order ref,Ordered at,Postage charged\nA,2026-10-01,4.50\nB,2026-10-02,2.00\n"
LINES = "Order ref,Line no.,Item group,Units,Unit price\nA,1,tripod,1,9.00\nA,2,mount,2,5.00\nB,1,tripod,1,9.00\n"


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    (tmp_path / settings.FILE_NAME).write_text('[shop]\ncurrency = "EUR"\n')
    (tmp_path / "inbox").mkdir()
    return tmp_path


def put(shop: Path, files: dict[str, bytes]) -> list[Path]:
    paths = [shop / "inbox" / name for name in files]
    for path, content in zip(paths, files.values(), strict=True):
        path.write_bytes(content)
    return paths


def mapped(shop: Path, first: Path, *others: Path) -> int:
    joins = [word for path in others for word in ("--join", str(path))]
    return main(["--shop", str(shop), "map", str(first), *joins, "--write"])


def answered(shop: Path, sql: str) -> list[tuple[object, ...]]:
    with warehouse.reading(settings.load(shop)) as connection:
        return connection.execute(sql).fetchall()


@pytest.mark.parametrize("name", ["en-split-1", "de-split-1", "fr-three-1", "pt-three-1"])
def test_files_of_one_shop_become_its_sale_lines(shop: Path, name: str) -> None:
    paths = put(shop, rendered(SPLIT[name], 40))
    assert mapped(shop, *paths) == 0
    deliveries = import_files(settings.load(shop), None, now=NOW)
    assert [str(each.error) for each in deliveries if each.error] == []
    (landed,) = (each for each in deliveries if each.delivery_id)
    lines = (shop / "inbox" / "lines.csv").read_text().count("\n") - 1
    assert (landed.accepted_count, landed.rejected_count) == (lines, 0)
    # What a buyer paid for an order stands once, however many lines it has.
    mark, delimiter = SPLIT[name].decimal, SPLIT[name].delimiter
    at = [header.column for header in SPLIT[name].files["orders"]].index("shipping_charged_cents")
    orders = (shop / "inbox" / "orders.csv").read_text().splitlines()[1:]
    paid = sum(round(float(order.split(delimiter)[at].replace(mark, ".")) * 100) for order in orders)
    assert answered(shop, "select cast(sum(shipping_charged_cents) as bigint) from accepted.sales") == [(paid,)]


def test_rows_keep_the_lines_of_their_own_file_and_wait_for_their_order(shop: Path) -> None:
    put(shop, {"orders-10.csv": ORDERS.encode(), "lines-10.csv": LINES.encode()})
    assert mapped(shop, shop / "inbox" / "lines-10.csv", shop / "inbox" / "orders-10.csv") == 0
    put(shop, {"lines-10.csv": (LINES + "C,1,mount,1,5.00\n").encode()})
    import_files(settings.load(shop), None, now=NOW)
    rejected = "select line_number, column_name, reason from rejected.rows where resolved_by is null"
    assert answered(shop, rejected) == [(5, "sold_at", "is missing; also shipping_charged_cents is missing")]
    put(shop, {"orders-10.csv": (ORDERS + "C,2026-10-03,1.00\n").encode()})
    import_files(settings.load(shop), None, now=NOW)
    assert answered(shop, rejected) == []
    assert answered(shop, "select sale_id, line_number, shipping_charged_cents from accepted.sales order by all") == [
        ("A", 1, 450),
        ("A", 2, 0),
        ("B", 1, 200),
        ("C", 1, 100),
    ]
    deliveries = import_files(settings.load(shop), None, now=NOW)
    assert all(each.is_known or each.notes for each in deliveries)


def test_each_month_is_joined_with_its_own(shop: Path) -> None:
    put(shop, {"orders-10.csv": ORDERS.encode(), "lines-10.csv": LINES.encode()})
    assert mapped(shop, shop / "inbox" / "lines-10.csv", shop / "inbox" / "orders-10.csv") == 0
    later = ORDERS.replace("4.50", "6.00").replace("2026-10", "2026-11")
    put(shop, {"orders-11.csv": later.encode(), "lines-11.csv": LINES.replace("A,", "X,").encode()})
    put(shop, {"orders-11.csv": later.replace("A,", "X,").encode()})
    import_files(settings.load(shop), None, now=NOW)
    amounts = "select sale_id, shipping_charged_cents from accepted.sales where line_number = 1 order by 1"
    assert answered(shop, amounts) == [("A", 450), ("B", 200), ("X", 600)]


def test_a_key_with_two_rows_that_differ_refuses_the_file(shop: Path) -> None:
    put(shop, {"orders-10.csv": ORDERS.encode(), "lines-10.csv": LINES.encode()})
    mapped(shop, shop / "inbox" / "lines-10.csv", shop / "inbox" / "orders-10.csv")
    put(shop, {"orders-10.csv": (ORDERS + "A,2026-10-09,1.00\n").encode()})
    (refused,) = (each.error for each in import_files(settings.load(shop), None, now=NOW) if each.error)
    assert "has two rows with Order ref 'A' that differ" in str(refused)


def test_a_file_without_its_companion_waits(shop: Path) -> None:
    put(shop, {"orders-10.csv": ORDERS.encode(), "lines-10.csv": LINES.encode()})
    mapped(shop, shop / "inbox" / "lines-10.csv", shop / "inbox" / "orders-10.csv")
    (shop / "inbox" / "orders-10.csv").unlink()
    (refused,) = (each.error for each in import_files(settings.load(shop), None, now=NOW) if each.error)
    assert "is read together with orders-*.csv, and there is none beside it" in str(refused)


def test_files_without_a_key_are_reported_so(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    put(shop, {"orders.csv": b"Number,Ordered at\nQ,2026-10-01\n", "lines.csv": LINES.encode()})
    assert mapped(shop, shop / "inbox" / "lines.csv", shop / "inbox" / "orders.csv") == 1
    assert "no column of one file is a key of the other" in capsys.readouterr().err


def test_rejected_rows_of_joined_files_come_back_mended(shop: Path) -> None:
    put(shop, {"orders-10.csv": ORDERS.encode(), "lines-10.csv": LINES.replace("mount,2", "mount,x").encode()})
    assert mapped(shop, shop / "inbox" / "lines-10.csv", shop / "inbox" / "orders-10.csv") == 0
    import_files(settings.load(shop), None, now=NOW)
    assert main(["--shop", str(shop), "rejects", "--export"]) == 0
    (exported,) = (shop / "rejects").iterdir()
    mended = shop / "inbox" / exported.name
    mended.write_text(exported.read_text(encoding="utf-8-sig").replace(",x,", ",2,"), encoding="utf-8-sig")
    import_files(settings.load(shop), [mended], now=NOW)
    assert answered(shop, "select count(*) from rejected.rows where resolved_by is null") == [(0,)]
    assert answered(shop, "select count(*) from accepted.sales") == [(3,)]
