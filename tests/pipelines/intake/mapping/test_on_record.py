"""What earlier records say of a new file: whose values are parcels, shipments and sales that the shop has on record."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from pipelines.cli import main
from pipelines.intake.mapping import FileProposal, propose_for
from pipelines.shop import settings
from tests.pipelines.intake.test_joining import answered, put

BENCH = "Label,Order,Packed on,Weight (kg)\n" + "".join(
    f"WF{number}-{part:02},S-{number},2026-06-{number % 28 + 1:02},2.5\n"
    for number in range(100, 120)
    for part in (1, 2)[: 1 + number % 2]
)
INVOICE = "Invoice,Invoice date,Consignment,Items,Description,Amount\n" + "".join(
    f"41023,2026-06-30,WF{number},{1 + number % 2},{word},{amount}\n"
    for number in range(100, 120)
    for word, amount in (("Freight", "12.50"), ("Fuel levy", "2.10"))
)
CLAIMS = "Ref,Article / item,Reported,Reason,State\n" + "".join(
    f"C{number},WF{number}-01,2026-07-{number % 28 + 1:02},damage,filed\n" for number in range(100, 110)
)


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Path]:
    (tmp_path / settings.FILE_NAME).write_text('[shop]\ncurrency = "AUD"\nunits = "metric"\n')
    (tmp_path / "inbox").mkdir()
    (bench,) = put(tmp_path, {"bench-06.csv": BENCH.encode()})
    assert main(["--shop", str(tmp_path), "map", str(bench), "--write"]) == 0
    assert main(["--shop", str(tmp_path), "intake"]) == 0
    yield tmp_path


def sources(found: FileProposal) -> dict[str, str | None]:
    return {each.column: each.source for each in found.proposal.pairings}


def test_numbers_on_record_say_what_a_column_is(shop: Path) -> None:
    (invoice, claims) = put(shop, {"wattle-41023.csv": INVOICE.encode(), "claims.csv": CLAIMS.encode()})
    config = settings.load(shop)
    billed = sources(propose_for(invoice, "charges", records=config))
    assert (billed["shipment_id"], billed.get("parcel_id"), billed.get("service")) == ("Consignment", None, None)
    claimed = sources(propose_for(claims, "claims", records=config))
    assert claimed["parcel_id"] == "Article / item"
    # Without the records headers alone say it, and say it wrongly.
    assert sources(propose_for(invoice, "charges"))["parcel_id"] == "Consignment"


def test_the_bill_of_a_shipment_finds_its_parcels(shop: Path) -> None:
    (invoice,) = put(shop, {"wattle-41023.csv": INVOICE.encode()})
    stated = ["--constant", "carrier=Wattle", "--write", "--yes"]
    assert main(["--shop", str(shop), "map", str(invoice), *stated]) == 0
    assert main(["--shop", str(shop), "intake"]) == 0
    assert answered(shop, "select count(distinct shipment_id), count(parcel_id) from accepted.charges") == [(20, 0)]
    known = "select distinct c.shipment_id from accepted.charges as c inner join accepted.weights using (shipment_id)"
    assert len(answered(shop, known)) == 20
    assert answered(shop, "select count(distinct shipment_id) from accepted.weights") == [(20,)]


def test_a_shop_without_records_knows_nothing(tmp_path: Path) -> None:
    (tmp_path / settings.FILE_NAME).write_text('[shop]\ncurrency = "AUD"\n')
    (tmp_path / "inbox").mkdir()
    (invoice,) = put(tmp_path, {"wattle-41023.csv": INVOICE.encode()})
    assert propose_for(invoice, "charges", records=settings.load(tmp_path)).found.sample.on_record == {}
