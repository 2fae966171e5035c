"""Makes the kept folder and backup of a version: what a shop holds that no file of its carriers can give back.

    python -m tests.upgrading.making DEMO NAME

DEMO is a folder in which `dunnage demo` was run, NAME the new folder in tests/upgrading/kept. Run it with the version
that is to be kept, and commit what it writes; never make an old one again. It works by the commands as a shop does:
forty parcels of the demo land as CSV by the templates' own sources, are reviewed and mailed to a server that takes
one month's letters and refuses the next one's; disputes are marked, a change is logged, an alarm is acknowledged.
"""

from __future__ import annotations

import json
import shutil
import sys
import tempfile
import zipfile
from collections.abc import Iterator
from pathlib import Path

from models.reference import RECORDS
from pipelines.build.acknowledgements import acknowledge
from pipelines.cli import main as dunnage
from pipelines.shop import warehouse
from pipelines.shop.settings import Settings, load, now_at
from tests.pipelines.delivery.mailbox import Fault, Mailbox, mail_server

KEPT = Path(__file__).parent / "kept"
# All that can be disputed or was claimed comes first: little of the demo with much in it.
CHOSEN = """
    select w.parcel_id, min(w.sale_id) as sale_id from accepted.weights as w
    where w.shipped_on >= date '2026-09-01'
    group by w.parcel_id
    order by (w.parcel_id in (select parcel_id from marts.billing_disputes where is_disputable))
        or (w.parcel_id in (select parcel_id from accepted.claims)) desc, w.parcel_id
    limit 40
"""
KEYS = {"sales": "sale_id", "weights": "parcel_id", "charges": "parcel_id", "claims": "parcel_id"}
MAIL = """
[mail]
host = "127.0.0.1"
port = {port}
security = "none"
sender = "reports@fernmoor.example"
recipients = ["packer@fernmoor.example", "books@fernmoor.example"]
timeout_seconds = 5
attach_limit_mb = 0
"""
ALARM = "2026-10-05-surcharge-season-handling-northline"


def run(folder: Path, *words: str) -> int:
    """A command in this shop."""
    return dunnage(["--shop", str(folder), *words])


def copy_records(demo: Path, inbox: Path) -> None:
    """The chosen parcels' records, and all that the shop keeps for reference, as filled-in templates."""
    with warehouse.reading(load(demo)) as connection:
        connection.execute(f"create temp table chosen as {CHOSEN}")
        for kind, contract in RECORDS.items():
            wanted = f"{KEYS[kind]} in (select {KEYS[kind]} from chosen)" if kind in KEYS else "true"
            connection.execute(
                f"copy (select {', '.join(contract.columns)} from accepted.{kind} where {wanted}) "
                f"to '{inbox / f'template-{kind}-1.csv'}' (header)"
            )
    with (inbox / "template-skus-2.csv").open("w", encoding="utf-8") as bad:
        bad.write("sku,item_type\nX-1,\nX-2,tripod\n")


def live(folder: Path, demo: Path) -> None:
    """The shop's life: records, reviews, letters, disputes, a decision, an acknowledged alarm."""
    run(
        folder.parent,
        "init",
        str(folder),
        "--name",
        "Kept shop",
        "--currency",
        "USD",
        "--time-zone",
        "America/New_York",
        "--units",
        "inch",
        "--wage",
        "24.00",
    )
    shutil.rmtree(folder / "templates")
    for path in (demo / "tariffs").iterdir():
        shutil.copyfile(path, folder / "tariffs" / path.name)
    copy_records(demo, folder / "inbox")
    assert run(folder, "intake") == 0
    because = ("--because", "claim", "--why", "legs")
    assert run(folder, "decide", "corner blocks", "--item-type", "tripod", "--from", "2026-10-06", *because) == 0
    acknowledge(load(folder), ALARM, {ALARM}, now_at(load(folder)).date(), "a new fee of the carrier")
    send(folder)
    mark(folder)
    assert run(folder, "review") == 0


def send(folder: Path) -> None:
    """September's letters are taken; October's are refused for now and wait."""
    with mail_server(Mailbox(faults=[None, None, *[Fault("MAIL", "4xx")] * 4])) as mailbox:
        settings = folder / "dunnage.toml"
        settings.write_text(settings.read_text(encoding="utf-8") + MAIL.format(port=mailbox.port), encoding="utf-8")
        run(folder, "send", "2026-09")
        run(folder, "send", "2026-10")
    text = settings.read_text(encoding="utf-8")
    settings.write_text(text.replace(f"port = {mailbox.port}", "port = 25"), encoding="utf-8")


def mark(folder: Path) -> None:
    """Three disputes, one in each state."""
    with warehouse.reading(load(folder)) as connection:
        found = connection.execute("select dispute_id from marts.billing_disputes order by 1 limit 3").fetchall()
    for (name,), words in zip(found, (["sent"], ["won", "--recovered", "0.01"], ["lost"]), strict=True):
        assert run(folder, "disputes", "mark", name, *words) == 0


def held(settings: Settings) -> Iterator[tuple[str, object]]:
    """What a later version must still find: rows of each table, and all rows of those that were made by hand."""
    with warehouse.reading(settings) as connection:
        names = [f"{schema}.{kind}" for schema in ("accepted", "superseded") for kind in RECORDS]
        for name in [*names, "rejected.rows", "intake.deliveries", "intake.archived"]:
            yield name, connection.execute(f"select count(*) from {name}").fetchall()[0][0]
        for name in ("shop.disputes", "outbox.messages", "outbox.editions", "shop.decisions", "shop.acknowledgements"):
            rows = connection.execute(f"from {name} order by all")
            columns = [column[0] for column in rows.description]
            yield name, [dict(zip(columns, map(str, row), strict=True)) for row in rows.fetchall()]
        yield "margin_cents", connection.execute("select sum(margin_cents) from marts.parcel_costs").fetchall()[0][0]


def main(demo: Path, name: str) -> None:
    """Write NAME/backup.zip, NAME/folder.zip and NAME/held.json."""
    target = KEPT / name
    target.mkdir(parents=True)
    with tempfile.TemporaryDirectory() as beside:
        folder = Path(beside) / "shop"
        live(folder, demo)
        assert run(folder, "backup", beside) == 0
        (backup,) = Path(beside).glob("*.zip")
        shutil.move(backup, target / "backup.zip")
        settings = load(folder)
        said = dict(held(settings))
        with zipfile.ZipFile(target / "folder.zip", "w", zipfile.ZIP_LZMA) as packed:
            for path in sorted(folder.rglob("*")):
                within = path.relative_to(folder).as_posix()
                if path.is_file() and within.split("/")[0] not in {"inbox", "reviews"} and "reading" not in path.name:
                    packed.write(path, within)
    (target / "held.json").write_text(json.dumps(said, indent=1, default=str), encoding="utf-8")


if __name__ == "__main__":
    main(Path(sys.argv[1]), sys.argv[2])
