"""A small shop in a folder: two months of parcels, and a mail server where a test has one."""

from __future__ import annotations

import atexit
import shutil
import tempfile
from functools import cache
from pathlib import Path

from models.reference import RECORDS
from pipelines.build import up_to_date
from pipelines.shop import warehouse
from pipelines.shop.settings import Settings, load
from tests.pipelines.delivery.mailbox import Mailbox
from tests.shops import Rows, fill

TOML = """
[shop]
name = "Fernmoor Optics"
time_zone = "America/New_York"

[mail]
host = "127.0.0.1"
port = {port}
security = "none"
sender = "reports@fernmoor.example"
recipients = ["packer@fernmoor.example", "books@fernmoor.example"]
owner = "owner@fernmoor.example"
attach = ["page", "workbook"]
timeout_seconds = 60

[schedule]
intake_at = "00:00"
watch_day = "monday"
watch_at = "00:00"
review_day = 1
review_at = "00:00"
"""
PACKED = {"carton_code": "C-48", "packing_method": "foam", "scale_weight_lb": 11}
PARCELS = [("P1", "2026-09-07", 2_000), ("P2", "2026-10-05", 2_500), ("P3", "2026-10-06", 3_000)]


def small_shop(folder: Path, mailbox: Mailbox | None = None) -> Settings:
    """The shop's settings; its records are imported."""
    folder.mkdir(parents=True, exist_ok=True)
    settings = with_mail(folder, mailbox)
    records: dict[str, Rows] = {
        "sales": [{"sale_id": f"S{each[0]}", "sold_at": f"{each[1]} 09:00:00"} for each in PARCELS],
        "weights": [
            {"parcel_id": each[0], "sale_id": f"S{each[0]}", "shipped_on": each[1], **PACKED} for each in PARCELS
        ],
        "cartons": [{"carton_code": "C-48"}],
        "packing_methods": [{"packing_method": "foam"}],
        "charges": [{"parcel_id": each[0], "charge_kind": "base", "amount_cents": each[2]} for each in PARCELS],
        "item_types": [{"item_type": "tripod"}],
        "claims": [{"claim_id": "C1", "parcel_id": "P1", "opened_on": "2026-11-02"}],
    }
    with warehouse.writing(settings, "test") as connection:
        for kind, rows in records.items():
            _deliver(connection, kind, rows)
    return settings


def built_shop(folder: Path, mailbox: Mailbox | None = None) -> Settings:
    """The same shop with its tables built, for tests of what comes after: a copy of the one made in this process."""
    shutil.copytree(_built(), folder, dirs_exist_ok=True)
    return with_mail(folder, mailbox)


@cache
def _built() -> Path:
    folder = Path(tempfile.mkdtemp(prefix="built-shop-"))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    settings = small_shop(folder)
    with warehouse.writing(settings, "test") as connection:
        up_to_date.build_changed(connection, settings)
    return folder


def with_mail(folder: Path, mailbox: Mailbox | None = None) -> Settings:
    """The settings of the shop in a folder, its mail server at the mailbox's port."""
    (folder / "dunnage.toml").write_text(TOML.format(port=mailbox.port if mailbox else 25), encoding="utf-8")
    return load(folder)


def land(settings: Settings, kind: str, rows: Rows) -> None:
    """Put rows into the shop's warehouse as a delivery."""
    with warehouse.writing(settings, "test") as connection:
        _deliver(connection, kind, rows)


def _deliver(connection: warehouse.Connection, kind: str, rows: Rows) -> None:
    assert kind in RECORDS
    fill(connection, kind, rows)
    connection.execute(
        "insert into intake.deliveries select (select count(*) from intake.deliveries) + 1, 'test', ?, 'a.csv', "
        "'', 0, '2026-11-02 06:00:00', ?, ?, 0, 0, 0, ''",
        [kind, len(rows), len(rows)],
    )
