"""`dunnage claim` and `dunnage claims` on the demo shop, as README shows them; what was said outlives a rebuild."""

from __future__ import annotations

import json
import re
import shlex
import shutil
from pathlib import Path

import pytest
from PIL import Image

from pipelines.cli import main
from pipelines.review import runs
from pipelines.shop import durable, warehouse
from pipelines.shop.settings import load
from tests.shops import rows
from tests.without_analyses import without_analyses

README = Path(__file__).parents[4] / "README.md"
LABEL = "NL40051174"


@pytest.fixture(scope="module")
def shop(demo_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the demo shop that these tests may write into."""
    return Path(shutil.copytree(demo_folder, tmp_path_factory.mktemp("claims") / "shop"))


@pytest.fixture(scope="module")
def parcel(shop: Path) -> str:
    """A tube of November without a claim, with an invoice."""
    with warehouse.reading(load(shop)) as connection:
        found = rows(
            connection,
            "select p.parcel_id from core.parcels as p left join core.claims as c on c.parcel_id = p.parcel_id "
            "where c.claim_id is null and p.has_charges and p.shipped_on between '2026-10-20' and '2026-11-06' "
            "order by p.declared_value_cents desc nulls last, p.parcel_id limit 1",
        )
    return str(found[0]["parcel_id"])


def said(capsys: pytest.CaptureFixture[str], shop: Path, *words: str, code: int = 0) -> str:
    assert main(["--shop", str(shop), *words]) == code
    captured = capsys.readouterr()
    return captured.out if code == 0 else captured.err


def readme_commands() -> list[list[str]]:
    """The commands of README's part on claims, without the program's name and what is said beside them."""
    (part,) = re.findall(r"## The day of a claim\n(.*?)\n## ", README.read_text(encoding="utf-8"), re.DOTALL)
    (block,) = re.findall(r"```\n(.*?)```", part, re.DOTALL)
    return [shlex.split(line, comments=True)[1:] for line in block.strip().splitlines()]


def test_every_command_of_readme_works_in_its_order(
    shop: Path, parcel: str, capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    folder = durable.make_folder(shop / "evidence" / parcel)
    for name in ("IMG_1.jpg", "label.jpg"):
        Image.new("RGB", (40, 30), "red" if name[0] == "I" else "blue").save(folder / name)
    commands = readme_commands()
    assert len(commands) == 7
    for words in commands:
        shown = said(capsys, shop, *(word.replace(LABEL, parcel) for word in words))
    assert f"{parcel}/damage (damage, paid in part, claimed $189.00): appeal the decision by" in " ".join(shown.split())
    assert (tmp_path / "claim.zip").exists()
    sheet = json.loads(said(capsys, shop, "claim", parcel, "--json"))
    assert sheet["evidence"] | {"other": 1, "label": 1} == sheet["evidence"]
    (claim,) = sheet["claims"]
    assert (claim["claim_state"], claim["paid_cents"], claim["loss_cents"]) == ("paid in part", 12_000, 9_350)
    assert (claim["filed_on"], claim["decided_on"]) == ("2026-11-19", "2026-11-20")


def test_rules_of_insuring_are_reported_with_their_ledger(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The demo's premiums are bills of its tariffs' declared value; the ledger's premiums are all of them."""
    words = " ".join(said(capsys, shop, "claims", "insure").split())
    assert "what insuring by a rule would have cost and brought" in words and "refractor tube" in words
    assert "The records do not prove that insuring more or less would have paid." in words
    with warehouse.reading(load(shop)) as connection:
        ledger = rows(connection, "select sum(premium_cents) as cents from marts.insurance_ledger")
        billed = rows(
            connection,
            "select sum(c.amount_cents) as cents from core.charge_lines as c "
            "inner join core.insured_parcels as p on p.parcel_id = c.parcel_id "
            "where c.surcharge in ('declared value', 'valuables')",
        )
    assert ledger == billed and ledger[0]["cents"] > 0


def test_what_was_said_stands_in_the_next_review_and_in_a_restored_backup(
    shop: Path, parcel: str, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """The margin takes up the refund and what was paid; a backup brings marks, texts and pictures back."""
    assert main(["--shop", str(shop), "claims", "texts"]) == 0
    with without_analyses():
        runs.month_tables(load(shop), None)
    with warehouse.reading(load(shop)) as connection:
        cost = rows(connection, f"select damage_net_cents from marts.parcel_costs where parcel_id = '{parcel}'")
    assert cost == [{"damage_net_cents": 21_350 - 12_000}]
    assert main(["--shop", str(shop), "backup", str(tmp_path)]) == 0
    (backup,) = tmp_path.glob("*.zip")
    assert main(["--shop", str(tmp_path / "again"), "restore", str(backup)]) == 0
    capsys.readouterr()
    before, after = (json.loads(said(capsys, place, "claim", parcel, "--json")) for place in (shop, tmp_path / "again"))
    assert before == after
    assert (tmp_path / "again" / "texts" / "to-buyer.txt").exists()


def test_an_erased_claim_leaves_nothing_behind(shop: Path, parcel: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert said(capsys, shop, "claim", parcel, "--erase").startswith("2 files and ")
    assert not (shop / "evidence" / parcel).exists()
    assert json.loads(said(capsys, shop, "claim", parcel, "--json"))["claims"] == []
    with warehouse.reading(load(shop)) as connection:
        left = rows(connection, "select count(*) as n from shop.claim_marks where parcel_id = '" + parcel + "'")
        built = rows(connection, "select fingerprint, grounds from intake.builds")
    assert left == [{"n": 0}]
    assert built == [{"fingerprint": "", "grounds": ""}]  # the next review builds all anew


@pytest.mark.parametrize(
    ("words", "why"),
    [
        (["claim", "NL0"], "is in no record"),
        (["claims", "mark", "NL0", "filed"], "is not among the claims"),
        (["claims", "mark", "FIRST", "paid"], "cannot be"),
        (["claim", "PARCEL", "--shows", "face=IMG_1"], "is not known"),
        (["claim", "PARCEL", "--shows", "label=IMG_9"], "no file named IMG_9"),
    ],
)
def test_what_cannot_be_is_said_in_three_lines(
    shop: Path, parcel: str, words: list[str], why: str, capsys: pytest.CaptureFixture[str]
) -> None:
    with warehouse.reading(load(shop)) as connection:
        first = rows(connection, "select claim_id from core.claims where claim_state = 'filed' limit 1")[0]["claim_id"]
    shown = said(capsys, shop, *({"FIRST": str(first), "PARCEL": parcel}.get(word, word) for word in words), code=1)
    assert why in shown and "next:" in shown
