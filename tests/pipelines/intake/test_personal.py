"""Nothing personal is kept: not in the warehouse, not among the rejected rows, not in the archive."""

from __future__ import annotations

from pathlib import Path

import pyarrow.parquet as pq

from tests.pipelines.intake.small_shop import SmallShop, source

CLAIMS = source(
    "claims",
    "claims",
    "claims*",
    {
        "claim_id": "No",
        "parcel_id": "Label",
        "opened_on": "Opened",
        "claim_cause": "Cause",
        "claim_state": "State",
        "packing_evidence": "Seen",
    },
)
HEADER = "No,Label,Buyer,E-mail,Street,Phone,Opened,Cause,State,Seen,Field 9"
WHO = ",{label},{who} Example,{who}@example.invalid,12 Moor Lane,555-010-1234,"
ROWS = [
    ("C1", "40017733123", "2026-10-01,damage,filed,crushed,a@example.invalid"),
    ("C2", "40017733124", "2026-10-01,damage,filed,call 555-010-9999 or al@example.invalid,a@example.invalid"),
    ("C3", "40017733125", "2026-13-01,damage,filed,bo@example.invalid wrote,a@example.invalid"),
    ("C4", "40017733126", "2026-10-01,damage,filed,torn,"),
    ("C5", "40017733127", "2026-10-01,damage,filed,torn"),
    ("", "40017733128", "ed@example.invalid,damage,filed,torn,x"),
    ("C7", '"40017733129" 1', "2026-10-01,damage,filed,torn,x"),
]
TEXT = "\n".join([HEADER, *(number + WHO.format(label=label, who="jo") + rest for number, label, rest in ROWS)])
PERSONAL = ("Example", "example.invalid", "Moor Lane", "555-010")


def everything(folder: Path) -> str:
    """All bytes of the shop's folder but the inbox, and every cell of the archive."""
    texts = [
        path.read_bytes().decode("latin-1")
        for path in folder.rglob("*")
        if path.is_file() and "inbox" not in path.parts
    ]
    archived = [str(pq.read_table(path).to_pylist()) for path in (folder / "archive").glob("*.parquet")]
    return "\n".join([*texts, *archived])


def test_nothing_personal_is_kept(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path, [CLAIMS])
    delivery = shop.take_one("claims.csv", TEXT)
    assert (delivery.accepted_count, delivery.rejected_count) == (3, 4)
    found = everything(tmp_path)
    assert {word for word in PERSONAL if word in found} == set()
    kept = str(shop.rows("from rejected.rows")) + str(shop.rows("from accepted.claims")) + str(delivery)
    assert {word for word in PERSONAL if word in kept} == set()


def test_it_is_said_what_was_dropped_and_blanked(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path, [CLAIMS])
    delivery = shop.take_one("claims.csv", TEXT)
    assert delivery.dropped == {
        "Buyer": "names",
        "E-mail": "e-mail addresses",
        "Street": "streets",
        "Phone": "phone numbers",
        "Field 9": "e-mail addresses",
    }
    assert delivery.notes == ("in 2 rows an e-mail address, phone number, name or street was blanked",)
    evidence = shop.rows("select packing_evidence from accepted.claims order by claim_id")
    assert evidence == [("crushed",), ("call [phone removed] or [e-mail removed]",), ("torn",)]
    # A parcel's number is figures and no phone number.
    assert shop.rows("select min(parcel_id) from accepted.claims") == [("40017733123",)]


def test_only_the_owner_may_read_what_is_kept(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path, [CLAIMS])
    shop.take_one("claims.csv", TEXT)
    kept = list((tmp_path / "archive").iterdir())
    assert len(kept) == 2 and all(path.stat().st_mode & 0o077 == 0 for path in kept)
    assert (tmp_path / "archive").stat().st_mode & 0o077 == 0
